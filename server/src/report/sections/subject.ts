import type { RecordBlock } from '@unhindered/shared-types';
import type { RecordSource } from '../record-source.ts';
import { orNotRecorded, plain, plural, strong } from '../words.ts';

const KINDS = {
  helmet: 'helmet',
  pads: 'pads',
  torso: 'torso protector',
  combined: 'combined kit',
  other: 'other equipment',
} as const;

/** The piece under review, as it was registered. */
export const specimenBlocks = ({ created: { specimen: s } }: RecordSource): RecordBlock[] => [
  {
    kind: 'facts',
    rows: [
      { term: 'Kind', text: `${KINDS[s.kind]}, ${s.sport}` },
      { term: 'Maker and model', text: `${s.maker}, ${s.model}` },
      { term: 'Year', text: orNotRecorded(s.year) },
      { term: 'Size', text: orNotRecorded(s.size) },
      { term: 'Serial or batch', text: orNotRecorded(s.serial) },
      { term: 'Condition', text: orNotRecorded(s.condition) },
      { term: 'Fastening', text: orNotRecorded(s.fastening) },
      { term: 'Supplied by', text: orNotRecorded(s.suppliedBy) },
    ],
  },
  plain(
    'One piece of one size was judged. Other sizes, other fasteners and other wear may behave otherwise.',
  ),
];

const ruleWords = ({ protocol: { divergence: d } }: RecordSource): string => {
  const split =
    d.split === null
      ? ''
      : `, or the average deviation from the median is above ${String(d.split)}`;
  return `A task diverges when a rating stands ${String(d.lone)} points or more from the median of the other reviewers${split}; when some propose a critical failure and some do not; or when some rate it and some say that it does not apply. Rule ${d.id}, set in the protocol before the first rating.`;
};

const evidencePolicy = ({ protocol }: RecordSource): string =>
  protocol.evidenceBeforeRating
    ? 'Under this protocol reviewers see the trials before they rate.'
    : 'Under this protocol reviewers rate before they see the trials.';

const endorsementPolicy = ({ protocol: { endorsement: e, sections } }: RecordSource): string => {
  if (!e) return ' Endorsements are counted apart and are no part of it.';
  const all = sections.reduce((sum, s) => sum + s.weight, 0);
  return ` The protocol adds the reviewers’ endorsements as one more section, of weight ${String(e.weight)} beside ${String(all)} of all sections: the mean of their statements, content as ${String(e.content)} and not content as ${String(e.notContent)}; who said nothing counts as neither, and who has a declared tie does not count.`;
};

/** How it was judged: protocol, scale, rules set beforehand. */
export const methodBlocks = (source: RecordSource): RecordBlock[] => {
  const { protocol: p, created } = source;
  const tasks = p.sections.flatMap((s) => s.tasks);
  const absolute = tasks.filter((t) => t.basis === 'absolute');
  const used = new Set(tasks.map((t) => t.state));
  return [
    ...(p.invented ? [strong('The protocol is marked as invented demonstration material.')] : []),
    {
      kind: 'facts',
      rows: [
        { term: 'Protocol', text: `${p.title}, version ${p.version} (${p.id})` },
        { term: 'SHA-256 of its text', text: created.protocol.hash },
        {
          term: 'Tasks',
          text: `${plural(tasks.length, 'task', 'tasks')} in ${plural(p.sections.length, 'section', 'sections')}, ${String(tasks.filter((t) => t.critical !== null).length)} of which can gate`,
        },
        {
          term: 'Basis',
          text: `${String(tasks.length - absolute.length)} against the same athlete without the equipment, ${String(absolute.length)} by time or count bands (marked “absolute”)`,
        },
        {
          term: 'Equipment states',
          text: p.states
            .filter((s) => used.has(s.id))
            .map((s) => s.title.toLowerCase())
            .join(', '),
        },
        { term: 'Rounds', text: `${String(p.rounds.limit)} at most` },
      ],
    },
    {
      kind: 'table',
      caption: `Scale: ${p.scale.title}`,
      head: ['Point', 'Word', 'Meaning'],
      widths: [0.12, 0.2, 0.68],
      rows: p.scale.points.map((s) => [[String(s.value)], [s.word], [s.meaning]]),
    },
    plain(
      'Each task has its own sentence for each point; they stand in the protocol. “Not applicable”, “not observed” and “abstained” are off the scale and enter no figure.',
    ),
    plain(ruleWords(source)),
    plain(
      `A critical failure gates only when the moderator confirms it with a reason. The trial criterion needs ${plural(p.gate.minValidTrials, 'valid trial', 'valid trials')} at least, and is met in ${String(p.gate.minShareOfValidTrials * 100)} % of them or more.`,
    ),
    plain(
      `The settled value of a task is the median of the last counted ratings when it is adopted or left open, and the moderator’s value when it is decided. The composite is the weighted mean of the sections, each the weighted mean of its rated tasks.${endorsementPolicy(source)} ${evidencePolicy(source)}`,
    ),
  ];
};
