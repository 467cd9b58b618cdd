import { TAKES_PART, type RecordBlock } from '../../../shared-types/src/index.ts';
import { all, type Day, type Seat } from './day.ts';
import { facts, head, list, para, percent, table, text, titleOf, two, when } from './say.ts';
import { headline, tableOf, type Stand } from './standing.ts';
import { meansOf } from './verdict.ts';

const ROLES = ['moderator', 'reviewer', 'observer', 'wall', 'recorder', 'operator'];

/** How a seat said that it saw the work, round by round; the last word of a round stands. */
const seen = (day: Day, seat: string): Map<number, string> =>
  new Map(
    all(day, 'observation-stated')
      .filter((e) => e.data.seat === seat)
      .map((e) => [e.data.round, e.data.how]),
  );

const seenCell = (day: Day, { seat, role }: Seat): string[] => {
  if (role !== 'reviewer') return [''];
  const said = [...seen(day, seat)].toSorted(([a], [b]) => a - b);
  return new Set(said.map(([, how]) => how)).size < 2 ? [''] : said.map(([round]) => text(round));
};

const answers = (of: readonly Stand[], seat?: string) =>
  of.flatMap((t) => t.ratings.filter((r) => seat === undefined || r.seat === seat));

const onScale = (of: ReturnType<typeof answers>): [number, number] => {
  const steps = of.filter((r) => r.held.rating.step !== null);
  return [steps.length, steps.filter((r) => r.counted).length];
};

const panelTable = (day: Day, of: readonly Stand[], seats: readonly Seat[]): RecordBlock =>
  table(
    '',
    [],
    seats.map((s) => [
      ['', ...(s.revoked ? [''] : [])],
      [''],
      seenCell(day, s),
      [s.role === 'reviewer' ? text(...onScale(answers(of, s.seat))) : ''],
    ]),
  );

const clips = (day: Day, of: readonly Stand[]): RecordBlock[] => {
  const never = of.filter((t) => t.task.onVideo === 'no');
  const against = never.filter((t) =>
    t.ratings.some(({ seat, held: { rating, round } }) => {
      const how = seen(day, seat).get(round);
      return rating.step !== null && how !== undefined && how !== 'present';
    }),
  );
  const kept = all(day, 'media-attached').filter((e) => e.data.type.startsWith('video/'));
  const gone = new Set(all(day, 'media-removed').map((e) => e.data.media));
  const rows = kept.map(({ data }) => [
    [data.description, ...(gone.has(data.media) ? [''] : [])],
    [''],
  ]);
  return [
    ...when(against.length > 0, para(), list(...against.map((t) => t.task.title))),
    ...when(kept.length > 0, table(text(kept.length), [], rows)),
  ];
};

/** Who judged, and how many answers they gave. */
export const panel = (day: Day, of: readonly Stand[]): RecordBlock[] => {
  const seats = [...day.seats.values()];
  const counts = ROLES.map((r) => seats.filter((s) => s.role === r).length).filter((n) => n > 0);
  const given = answers(of);
  const kind = (answer: string): number =>
    given.filter((r) => r.held.rating.answer === answer).length;
  const few = tableOf(day, of, false).seats.length < 3;
  return [
    para(...counts),
    ...when(few, para()),
    panelTable(
      day,
      of,
      seats.filter((s) => s.role !== 'wall'),
    ),
    facts(
      ['', text(of.length, day.tasks.length)],
      ['', text(...onScale(given))],
      ['', text(kind('not-applicable'))],
      ['', text(kind('not-observed'))],
      ['', text(kind('abstained'))],
    ),
    ...clips(day, of),
    para(),
  ];
};

/** Whether they would be content to see it worn. */
export const endorsements = (day: Day, of: readonly Stand[]): RecordBlock[] => {
  const said = [...day.endorsements.values()];
  const yes = said.filter((s) => s.content).length;
  const rule = day.p.endorsement;
  const { weighed } = headline(day, of);
  const share =
    weighed && rule
      ? text(weighed.content, weighed.not, percent(weighed.weight), rule.content, rule.notContent)
      : rule?.weight === 0
        ? text(0)
        : '';
  return when(
    said.length > 0,
    head(),
    para(yes, said.length - yes, share),
    list(...said.map((s) => s.reason)),
  );
};

/** Declared ties, and the composite with and without the ratings that they take out. */
export const interests = (day: Day, of: readonly Stand[]): RecordBlock[] => {
  const seats = [...day.seats.values()];
  const rates = seats.filter((s) => s.role === 'reviewer' || s.role === 'moderator');
  const declared = rates.filter((s) => s.ties !== null).length;
  const tied = seats.filter((s) => (s.ties ?? []).length > 0);
  const both = para(two(meansOf(day, of, false).value), two(meansOf(day, of, true).value));
  const what = (t: NonNullable<Seat['ties']>[number]): string => {
    if (t.to === 'task') return text(titleOf(day, t.task), t.detail);
    if (t.to !== 'tool') return t.detail;
    return text(day.p.tools.find((x) => x.id === t.tool)?.title ?? t.tool, t.detail);
  };
  const rows = tied.map((s) => [
    [''],
    (s.ties ?? []).map(what),
    [s.excluded.length === 0 ? '' : text(s.excluded.length)],
  ]);
  return [
    para(declared, rates.length),
    ...(tied.length === 0 ? [para()] : [table('', [], rows)]),
    both,
  ];
};

/** Seats that take part in trials and are still there. */
export const partTakers = (day: Day): Seat[] =>
  [...day.seats.values()].filter((s) => !s.revoked && TAKES_PART.some((r) => r === s.role));
