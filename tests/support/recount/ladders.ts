import { seededChance } from '../../../server/src/analysis/seeded-chance.ts';
import { accessFigures } from '../../../server/src/measures/access-figures.ts';
import type { RecordBlock } from '../../../shared-types/src/index.ts';
import { standing, type Day } from './day.ts';
import { head, list, para, percent, rounded, table, text, when } from './say.ts';

type Ladder = Day['p']['ladders'][number];

/** The seed and the resamples that the record names. */
const SEED = 5;
const DRAWN = 2000;

const gather = (day: Day, { rungs }: Ladder) =>
  rungs.map(({ task: id, capSeconds }) => {
    const task = day.tasks.find((t) => t.id === id);
    const own = standing(day)
      .map((t) => t.entry)
      .filter((e) => e.task === id && e.condition === 'equipment' && e.state === task?.state);
    const timed = own.filter((e) => e.seconds !== null || (!e.done && capSeconds !== null));
    const trials = timed.map(({ operator, done, seconds }) => ({
      operator,
      done,
      seconds: Number(seconds ?? capSeconds),
    }));
    const within = (t: (typeof trials)[number]): boolean =>
      t.done && (capSeconds === null || Math.round(10 * t.seconds + 1e-9) / 10 <= capSeconds);
    const done = trials.filter(within).length;
    const failed = trials.length - done;
    return {
      rung: { id: task?.title ?? id, capSeconds, trials },
      state: day.p.states.find((s) => s.id === task?.state)?.title ?? '',
      done,
      failed,
      atCap: own.filter((e) => !e.done && e.seconds === null && capSeconds !== null).length,
      untimed: own.length - timed.length,
      operators: new Set(trials.map((t) => t.operator)).size,
    };
  });

type Gathered = ReturnType<typeof gather>;

const seconds = (x: number | null): string => (x === null ? '' : rounded(x, 1));

const curveOf = (goal: string, found: ReturnType<typeof accessFigures>): RecordBlock[] => {
  const last = found.curve.at(-1)?.seconds ?? 0;
  const by = found.by.map((b) => text(b.seconds, percent(b.probability)));
  const { median, medianLimits: ends } = found;
  const middle = ends.ok
    ? [ends.value.lower, ends.value.upper].map((x) => seconds(x.reached ? x.seconds : null))
    : [];
  const limits = found.by.map(({ limits: l }) =>
    l.ok ? text(percent(l.value.lower), percent(l.value.upper)) : '',
  );
  return [
    {
      kind: 'curve',
      caption: '',
      alt: by.join(' '),
      end: Math.max(180, 60 * Math.ceil(last / 60)),
      curve: found.curve,
      band: found.band,
    },
    table(
      goal,
      ['', '', text(95)],
      [
        ...found.by.map((b, i) => [[text(b.seconds)], [percent(b.probability)], [limits[i] ?? '']]),
        [[''], [percent(found.access)], ['']],
        [[''], [median.reached ? seconds(median.seconds) : ''], [middle.join(' ')]],
      ],
    ),
  ];
};

const rungItem = ({ rung, state, done, failed, operators }: Gathered[number]): string =>
  text(
    rung.id,
    state,
    rung.capSeconds ?? '',
    rung.trials.length,
    ...(rung.trials.length === 0 ? [] : [operators, done, failed]),
  );

const generalNotes = (rungs: Gathered, notes: readonly string[]): RecordBlock[] => {
  const tried = rungs.filter((r) => r.rung.trials.length > 0);
  const least = Math.min(...tried.map((r) => r.rung.trials.length));
  const people = new Set(rungs.flatMap((r) => r.rung.trials.map((t) => t.operator))).size;
  const few = least < 8 || people < 8;
  const repeated = rungs.some((r) => r.rung.trials.length > r.operators);
  // Whether an untried technique can come to its turn is the program's word; it names titles and no number.
  const untried = notes.find((n) => n.startsWith('No trial of'));
  return [
    para(),
    ...when(untried !== undefined, para(untried ?? '')),
    ...when(few, para(least, people, 8, 95)),
    ...when(repeated, para()),
  ];
};

const asides = (rungs: Gathered): RecordBlock[] =>
  rungs.flatMap(({ rung: { id, capSeconds }, failed, atCap, untimed }) => [
    ...when(failed > 0, para(id, failed)),
    ...when(atCap > 0, para(id, atCap, capSeconds ?? '')),
    ...when(untimed > 0, para(id, untimed)),
  ]);

const blocksOf = (day: Day, ladder: Ladder): RecordBlock[] => {
  const rungs = gather(day, ladder);
  const least = day.p.gate.minValidTrials;
  const title = head(ladder.goal);
  const items = list(...rungs.map(rungItem));
  const few = rungs.filter(
    ({ rung: { trials } }, i) => trials.length < least && (i === 0 || trials.length > 0),
  );
  if (few.length > 0) {
    const named = few.map((r) => text(r.rung.id, r.rung.trials.length));
    return [title, para(...named, least), items, ...asides(rungs)];
  }
  // The curve and its band are the program's: tests/reference/measures-trials holds them against outside values.
  const stream = seededChance(SEED).stream();
  const found = accessFigures(
    rungs.map((r) => r.rung),
    stream,
    DRAWN,
  );
  return [
    title,
    ...curveOf(ladder.goal, found),
    items,
    ...generalNotes(rungs, found.notes),
    ...asides(rungs),
    ...when(found.band.length > 0, para(DRAWN, SEED)),
  ];
};

/** Time to access on each ladder that has a trial. */
export const access = (day: Day): RecordBlock[] =>
  day.p.ladders
    .filter((l) => gather(day, l).some((r) => r.rung.trials.length > 0))
    .flatMap((l) => blocksOf(day, l));
