import type { RecordBlock } from '../../../shared-types/src/index.ts';
import { all, type Day, type Line } from './day.ts';
import { answer, facts, head, moment, para, table, text, titleOf, when } from './say.ts';
import { partTakers } from './panel.ts';

/** The moment of something that may have happened before the evaluation was made. */
const whenOf = (e: Line): string =>
  'since' in e.data && typeof e.data.since === 'string' ? e.data.since : e.at;

const paper = (day: Day): RecordBlock[] => {
  const [e] = all(day, 'ratings-imported');
  if (!e) return [];
  const { file, bytes, sha256, rows, empty, leftOut, rounds } = e.data;
  return [
    para(),
    facts(
      ['', moment(e.at)],
      ['', text(file, bytes)],
      [text(256), sha256],
      ['', text(rows, empty, leftOut.length)],
      ['', text(rounds.length)],
      ['', ''],
      ['', ''],
    ),
    ...when(
      leftOut.length > 0,
      table(
        '',
        [],
        leftOut.map((f) => [[text(f.line)], [f.column], [f.fault]]),
      ),
    ),
    para(256),
  ];
};

const rounds = (day: Day): RecordBlock => {
  const rows = all(day, 'round-started').map(({ data: { round, tasks, sheets, reason }, at }) => {
    const opened = all(day, 'round-opened').find((e) => e.data.round === round);
    const recorded = all(day, 'sheet-recorded').filter((e) => e.data.round === round).length;
    return [
      [text(round)],
      [text(tasks.length, sheets.length), ...(reason === null ? [] : [reason])],
      [moment(at)],
      opened ? [moment(opened.at), text(recorded)] : [''],
    ];
  });
  return table('', [], rows);
};

const late = (day: Day): RecordBlock => {
  const rows = [...day.late.values()].map((l) => [
    [titleOf(day, l.task)],
    [text(answer(day, l.rating)), text(answer(day, l.recorded)), moment(l.at)],
    l.decision ? ['', l.decision.reason] : [''],
  ]);
  return rows.length === 0 ? para() : table('', [], rows);
};

const corrected = (day: Day): RecordBlock => {
  const rows = all(day, 'rating-corrected').map(({ data: d, at }) => [
    [titleOf(day, d.task)],
    [text(answer(day, d.old), answer(day, d.new)), moment(at)],
    [d.reason],
  ]);
  return rows.length === 0 ? para() : table('', [], rows);
};

/** Rounds, late and corrected ratings. */
export const course = (day: Day): RecordBlock[] => {
  const onPaper = all(day, 'ratings-imported').length > 0;
  return [...paper(day), ...(onPaper ? [] : [rounds(day), para()]), late(day), corrected(day)];
};

interface Stop {
  at: string;
  reason: string;
  calls: string[];
  resumed: string[] | null;
}

const stops = (day: Day): Stop[] => {
  const found: Stop[] = [];
  for (const e of day.lines) {
    const last = found.at(-1);
    const stands = last?.resumed === null;
    if (e.type === 'everyone-stopped') {
      const { reason } = e.data;
      if (!stands) found.push({ at: whenOf(e), reason: reason ?? '', calls: [], resumed: null });
      else if (reason !== null) last.calls.push(reason);
    }
    if (e.type === 'everyone-resumed' && stands) last.resumed = [moment(e.at), e.data.measures];
  }
  return found;
};

const stopTable = (day: Day): RecordBlock => {
  const rows = stops(day).map((s) => [
    [moment(s.at), ''],
    [s.reason, ...s.calls],
    s.resumed ?? [''],
  ]);
  return rows.length === 0 ? para() : table('', [], rows);
};

const briefing = (day: Day): RecordBlock[] => {
  const told = new Set<string>();
  let before = 0;
  for (const e of day.lines) {
    if (e.type === 'briefing-acknowledged') told.add(e.data.seat);
    if (e.type === 'entry-posted' && e.data.entry.kind === 'trial' && !told.has(e.data.seat)) {
      before++;
    }
  }
  const parts = partTakers(day);
  const heard = parts.filter((s) => told.has(s.seat)).length;
  return [
    para(heard, parts.length),
    para(day.p.cautions.session),
    ...when(heard < parts.length, para()),
    ...when(before > 0, para(before)),
  ];
};

const models = (day: Day): RecordBlock[] => {
  const consents = new Map<string, string>();
  for (const e of all(day, 'consent-recorded')) {
    if (!consents.has(e.data.model)) consents.set(e.data.model, whenOf(e));
  }
  const left = new Map<string, string>();
  for (const e of all(day, 'consent-withdrawn')) {
    if (!left.has(e.data.model)) left.set(e.data.model, whenOf(e));
  }
  const decided = new Map(
    all(day, 'model-trials-decided').map((e) => [e.data.model, e.data.reason]),
  );
  const rows = [...consents].map(([model, at]) => {
    const gone = left.get(model);
    return [
      [model],
      [moment(at), ''],
      gone === undefined ? [''] : [moment(gone), decided.get(model) ?? ''],
    ];
  });
  const named = new Set(day.trials.flatMap((t) => t.entry.model ?? []));
  const without = [...named].filter((m) => !consents.has(m)).toSorted();
  return [
    ...(rows.length === 0 ? [para()] : [table('', [], rows)]),
    ...when(without.length > 0, para(...without)),
    para(day.p.cautions.consent),
  ];
};

const incidents = (day: Day): RecordBlock => {
  const rows = all(day, 'incident-noted').map(({ data: { note: n }, at }) => {
    const trial = day.trials.find((t) => t.key === n.trial);
    const task = n.task ?? trial?.entry.task;
    return [
      [moment(n.happenedAt), moment(at)],
      [
        ...(task === undefined ? [] : [titleOf(day, task)]),
        ...(trial ? [text(trial.seq)] : []),
        n.what,
      ],
      [n.done, ''],
    ];
  });
  return rows.length === 0 ? para() : table('', [], rows);
};

/** The safety of the day. */
export const safety = (day: Day): RecordBlock[] => [
  stopTable(day),
  head(),
  ...briefing(day),
  head(),
  ...models(day),
  head(),
  incidents(day),
];
