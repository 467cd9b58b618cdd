import type { RecordBar, RecordBlock, Result } from '@unhindered/shared-types';
import { weighedEndorsement, type RecordSource } from '../record-source.ts';
import {
  figureNumber,
  figureWords,
  listWords,
  percentWords,
  plain,
  plural,
  scaleOf,
  stepsText,
  strong,
  taskTitle,
} from '../words.ts';

/** The verdict in one sentence. It speaks of this staged test alone and is never a stamp of conformity. */
export const verdictSentence = (source: RecordSource): string => {
  const { kind, tasks } = source.result.verdict;
  return kind === 'care-was-blocked'
    ? `Care was blocked at: ${listWords(tasks.map((t) => taskTitle(source, t)))}.`
    : 'No critical failure was confirmed.';
};

const gatedBy = (source: RecordSource): RecordBlock[] => {
  const { tasks } = source.result.verdict;
  if (tasks.length === 0) {
    const rejected = [...source.state.gates.values()].filter((g) => !g.confirmed).length;
    return rejected === 0
      ? []
      : [
          plain(
            `${plural(rejected, 'proposed critical failure was', 'proposed critical failures were')} looked at and rejected; see “Critical failures”.`,
          ),
        ];
  }
  const items = tasks.map((task) => {
    const gate = source.state.gates.get(task);
    const backed = gate?.backedByTrials ? 'backed by trials' : 'not backed by trials';
    return `${taskTitle(source, task)}: ${backed}. ${gate?.reason ?? ''}`;
  });
  return [
    plain('What gated it. The composite below stands, and does not outweigh this:'),
    { kind: 'list', items },
  ];
};

/** The interval of the composite of mean ratings, or why there is none. */
export const intervalWords = (i: Result['means']['interval']): string =>
  'undefinedBecause' in i
    ? `no interval (${i.undefinedBecause})`
    : `95 % ${i.method} interval ${figureWords({ value: i.lower }, 2)} to ${figureWords({ value: i.upper }, 2)}`;

const ofWhichEndorsement = (source: RecordSource): string => {
  const e = weighedEndorsement(source);
  return e
    ? `; of which endorsement ${percentWords(Number(e.weight))}, at ${figureWords(e.value, 2)}`
    : '';
};

const withoutEndorsement = (source: RecordSource): RecordBar[] => {
  const e = weighedEndorsement(source);
  if (!e) return [];
  return [
    {
      label: 'The same without endorsements',
      value: figureNumber(e.without),
      interval: null,
      text: figureWords(e.without, 2),
      note: 'ratings and decisions alone',
    },
  ];
};

const headline = (source: RecordSource): RecordBar[] => {
  const { composite, means } = source.result;
  const i = means.interval;
  return [
    {
      label: 'Composite of the settled values',
      value: figureNumber(composite.value),
      interval: null,
      text: figureWords(composite.value, 2),
      note: `rests on ${percentWords(Number(composite.weightUsed))} of the weight${ofWhichEndorsement(source)}`,
    },
    ...withoutEndorsement(source),
    {
      label: 'Composite of the mean ratings',
      value: figureNumber(means.value),
      interval: 'lower' in i ? { lower: Number(i.lower), upper: Number(i.upper) } : null,
      text: figureWords(means.value, 2),
      note: intervalWords(i),
    },
  ];
};

const sectionBars = (source: RecordSource): RecordBar[] =>
  source.result.composite.sections.map((s) => {
    const section = source.protocol.sections.find((p) => p.id === s.section);
    return {
      label: `${section?.letter ?? ''}  ${section?.title ?? s.section}`,
      value: figureNumber(s.value),
      interval: null,
      text: 'value' in s.value ? stepsText(Number(s.value.value)) : 'not rated',
      note: `${String(s.rated)} of ${plural(s.of, 'task', 'tasks')} rated, weight ${percentWords(Number(s.weight))}`,
    };
  });

const altOf = (bars: readonly RecordBar[]): string =>
  `Distances from the datum line. ${bars.map((b) => `${b.label.trim()}: ${b.text}; ${b.note}`).join('. ')}.`;

const whatItMeans = (source: RecordSource): string => {
  const { scale } = source.protocol;
  const end = scale.better === 'lower' ? scale.max : scale.min;
  const worst = scale.points.find((p) => p.value === end);
  const datum =
    scale.datum === null
      ? ''
      : `${String(scale.datum)} is care as on the same athlete without the equipment; `;
  return `Steps of “${scale.title}”: ${datum}${String(end)} is “${worst?.word ?? ''}”, ${worst?.meaning ?? ''}. The interval is centred on the composite of the mean ratings, not on the settled one${weighedEndorsement(source) ? ', and holds no endorsements' : ''}.`;
};

/** Verdict, what gated it, the composites, the sections, and what the record is not. */
export const verdictBlocks = (source: RecordSource): RecordBlock[] => {
  const scale = scaleOf(source);
  const head = headline(source);
  const sections = sectionBars(source);
  const provisional = source.result.composite.provisional
    ? [strong('Provisional: less than 60 % of the weight was rated.')]
    : [];
  return [
    {
      kind: 'verdict',
      text: verdictSentence(source),
      blocked: source.result.verdict.kind === 'care-was-blocked',
    },
    ...gatedBy(source),
    {
      kind: 'bars',
      caption: 'Composites, distance from the datum',
      alt: altOf(head),
      scale,
      rows: head,
    },
    ...provisional,
    plain(whatItMeans(source)),
    {
      kind: 'bars',
      caption: 'Sections, distance from the datum',
      alt: altOf(sections),
      scale,
      rows: sections,
    },
    plain(source.protocol.cautions.scope),
  ];
};
