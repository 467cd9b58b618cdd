import { fasteningWords, type RecordBlock } from '../../../shared-types/src/index.ts';
import { all, type Day } from './day.ts';
import { facts, head, moment, para, table, text, when } from './say.ts';

type Details = NonNullable<Day['created']['registered']>['details'];

/** The piece as it was registered. */
const specimen = ({ created: { specimen: s } }: Day): RecordBlock[] => [
  facts(
    ['', s.sport],
    ['', text(s.maker, s.model)],
    ['', s.year],
    ['', s.size],
    ['', s.serial],
    ['', s.condition],
    ['', s.fastening],
    ['', s.suppliedBy],
  ),
  para(),
];

const age = (d: Details): string => d.made ?? d.ageStated;

const registered = (day: Day): RecordBlock[] => {
  const { registered: r } = day.created;
  if (!r) return [];
  const rows = r.parts.map(({ details: d }) => [
    [text(d.maker, d.model)],
    [d.serial],
    [d.size],
    [age(d)],
    [fasteningWords({ details: d, parts: [] })],
  ]);
  return [
    facts(
      ['', r.specimen],
      ['', age(r.details)],
      ['', text(r.details.massG ?? '')],
      ['', r.details.notes],
    ),
    ...when(rows.length > 0, table('', [], rows)),
    ...all(day, 'specimen-corrected').map((e) => para(moment(e.at), e.data.reason)),
  ];
};

const photos = (day: Day): RecordBlock[] => {
  const captions = new Map(all(day, 'specimen-photo-captioned').map((e) => [e.data.photo, e.data]));
  const gone = new Map(
    all(day, 'specimen-photo-removed').map((e) => [e.data.photo, e.data.reason]),
  );
  const known = day.created.registered;
  const nameOf = (id: string): string => {
    const piece = [known, ...(known?.parts ?? [])].find((x) => x?.specimen === id);
    return piece ? text(piece.details.maker, piece.details.model) : id;
  };
  const rows = all(day, 'specimen-photo-added').map(({ data }) => [
    [nameOf(data.specimen)],
    [text(captions.get(data.photo)?.new ?? data.caption, gone.get(data.photo) ?? '')],
    [data.sha256],
  ]);
  return when(rows.length > 0, table('', ['', '', text(256)], rows), para(256));
};

const fit = (day: Day): RecordBlock[] => {
  const checks = all(day, 'fit-checked');
  const number = (id: string | null): number => checks.findIndex((c) => c.data.fit === id) + 1;
  return [
    para(),
    ...all(day, 'fit-overridden').map((e) => para(moment(e.at), e.data.reason)),
    ...checks.flatMap(({ data: { fit: id, check: c, replaces, reason }, at }) => [
      table(
        text(number(id), c.instructions.title, c.instructions.edition),
        [],
        c.steps.map((s) => [[s.what], [''], [s.remark]]),
      ),
      para(
        moment(at),
        c.model.code,
        c.model.size,
        c.seconds ?? '',
        c.problems,
        c.comfort?.said ?? '',
        c.comfort?.bias ?? '',
        ...(replaces === null ? [] : [number(replaces), reason ?? '']),
      ),
    ]),
  ];
};

/** The piece, its photos and its fit. */
export const piece = (day: Day): RecordBlock[] => [
  ...specimen(day),
  ...registered(day),
  ...photos(day),
  head(),
  ...fit(day),
];

const rule = ({ p: { divergence: d } }: Day): RecordBlock => para(d.lone, d.split ?? '', d.id);

const endorsed = ({ p: { endorsement: e, sections } }: Day): (string | number)[] =>
  e ? [e.weight, sections.reduce((s, x) => s + x.weight, 0), e.content, e.notContent] : [];

/** How it was judged: protocol, scale and rules. */
export const method = (day: Day): RecordBlock[] => {
  const { p, created, tasks } = day;
  const absolute = tasks.filter((t) => t.basis === 'absolute').length;
  const gating = tasks.filter((t) => t.critical !== null).length;
  const used = p.states.filter((s) => tasks.some((t) => t.state === s.id));
  return [
    ...when(p.invented, para()),
    facts(
      ['', text(p.title, p.version, p.id)],
      [text(256), created.protocol.hash],
      ['', text(tasks.length, p.sections.length, gating)],
      ['', text(tasks.length - absolute, absolute)],
      ['', text(...used.map((s) => s.title))],
      ['', text(p.rounds.limit)],
    ),
    table(
      p.scale.title,
      [],
      p.scale.points.map((s) => [[text(s.value)], [s.word], [s.meaning]]),
    ),
    para(),
    rule(day),
    para(p.gate.minValidTrials, 100 * p.gate.minShareOfValidTrials),
    para(...endorsed(day)),
  ];
};
