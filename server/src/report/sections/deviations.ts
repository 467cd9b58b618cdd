import { protocolTasks, type RecordBlock } from '@unhindered/shared-types';
import type { RecordSource } from '../record-source.ts';
import { letterOf, listWords, plain, plural, seatWords, taskTitle } from '../words.ts';
import { eventsOf } from './course.ts';

const titles = (source: RecordSource, tasks: readonly string[]): string =>
  listWords(tasks.map((t) => taskTitle(source, t)));

const openedEarly = (source: RecordSource): string[] =>
  eventsOf(source, 'round-opened')
    .filter((e) => e.data.missing.length > 0)
    .map(({ data }) => {
      const who = data.missing.map(
        (m) => `${letterOf(source, m.seat)} (${plural(m.unrated, 'task', 'tasks')} unanswered)`,
      );
      return `Round ${String(data.round)} was opened before all had finished: ${listWords(who)}.`;
    });

const withoutFit = (source: RecordSource): string[] =>
  eventsOf(source, 'fit-overridden').map(
    (e) => `The first round was allowed to open without a passed fit check: ${e.data.reason}`,
  );

/** Changes of who sat on the panel once the first round was sealed. */
const seatChanges = (source: RecordSource): string[] => {
  const first = source.events.findIndex((e) => e.type === 'round-started');
  const after = first < 0 ? [] : source.events.slice(first);
  return after.flatMap((e) => {
    if (e.type === 'seat-taken' && e.data.role === 'reviewer') {
      return [`${seatWords(source, e.data.seat)} joined after the first round was sealed.`];
    }
    if (e.type === 'seat-revoked') {
      return [`The seat of ${seatWords(source, e.data.seat)} ended: ${e.data.reason}`];
    }
    return [];
  });
};

const lateDeclarations = (source: RecordSource): string[] => {
  const first = source.events.findIndex((e) => e.type === 'sheet-recorded');
  const after = first < 0 ? [] : source.events.slice(first);
  const seats = after.flatMap((e) => (e.type === 'interest-declared' ? [e.data.seat] : []));
  return [...new Set(seats)].map(
    (s) => `${seatWords(source, s)} declared interests anew after ratings were on record.`,
  );
};

const unrated = (source: RecordSource): string[] => {
  const open = protocolTasks(source.protocol).filter(
    (t) => (source.result.tasks.find((x) => x.task === t.id)?.n ?? 0) === 0,
  );
  const asked = open.filter((t) => !t.optional).map((t) => t.id);
  const outside = asked.filter((id) => {
    const given = source.standings.find((t) => t.task === id)?.ratings ?? [];
    return given.length > 0 && given.every((r) => r.rating.answer === 'not-applicable');
  });
  const must = asked.filter((id) => !outside.includes(id));
  const may = open.filter((t) => t.optional).map((t) => t.id);
  return [
    ...(must.length === 0 ? [] : [`Without a counted rating: ${titles(source, must)}.`]),
    ...(outside.length === 0
      ? []
      : [`Called not applicable by all who answered: ${titles(source, outside)}.`]),
    ...(may.length === 0 ? [] : [`Optional and not rated: ${titles(source, may)}.`]),
  ];
};

const decisions = (source: RecordSource): string[] => {
  const left = source.result.tasks.filter((t) => t.how === 'leave-open').map((t) => t.task);
  const bare = [...source.state.gates].filter(([, g]) => g.confirmed && !g.backedByTrials);
  return [
    ...(left.length === 0 ? [] : [`Left open: ${titles(source, left)}.`]),
    ...(bare.length === 0
      ? []
      : [
          `Confirmed as blocked without trials: ${titles(
            source,
            bare.map(([t]) => t),
          )}.`,
        ]),
    ...eventsOf(source, 'task-reopened').map(
      (e) => `“${taskTitle(source, e.data.task)}” was reopened: ${e.data.reason}`,
    ),
  ];
};

const TRANSPORT =
  'The panel’s network traffic was not encrypted by this server: on that network others could have read along before the opening.';

const PAPER =
  'The ratings were given on paper and imported; no sealed round was held here, and reviewers from paper declared no interests to this program.';

/** Stops and incidents are told in their own section; here it is said that there were any. */
const safety = ({ state }: RecordSource): string[] => {
  const { length: stops } = state.safety.stops;
  const { length: incidents } = state.incidents;
  const left = [...state.safety.models.values()].filter((m) => m.withdrawn).length;
  return [
    ...(stops === 0
      ? []
      : [`The day was stopped ${stops === 1 ? 'once' : `${String(stops)} times`}.`]),
    ...(left === 0 ? [] : [`${plural(left, 'model', 'models')} left.`]),
    ...(incidents === 0 ? [] : [`${plural(incidents, 'incident was', 'incidents were')} noted.`]),
  ];
};

/** Everything in which this evaluation departed from its protocol or from good practice, from the log. */
export const deviations = (source: RecordSource): string[] => {
  const admitted = [...source.state.late.values()].filter((l) => l.decision?.admitted).length;
  const corrected = eventsOf(source, 'rating-corrected').length;
  return [
    ...(source.state.paper ? [PAPER] : []),
    ...withoutFit(source),
    ...openedEarly(source),
    ...seatChanges(source),
    ...lateDeclarations(source),
    ...(admitted === 0
      ? []
      : [`${plural(admitted, 'late rating was', 'late ratings were')} admitted.`]),
    ...(corrected === 0
      ? []
      : [`${plural(corrected, 'rating was', 'ratings were')} corrected after an opening.`]),
    ...safety(source),
    ...unrated(source),
    ...decisions(source),
    ...(source.trials.length === 0 ? ['No trial was recorded.'] : []),
    ...(source.result.counted.length < 3 ? ['Fewer than three counted reviewers.'] : []),
    ...(source.created.transport === 'plain' ? [TRANSPORT] : []),
  ];
};

/** The list of departures, and why the protocol itself cannot have changed. */
export const deviationBlocks = (source: RecordSource): RecordBlock[] => {
  const items = deviations(source).map((d) => d.charAt(0).toUpperCase() + d.slice(1));
  const fixed = plain(
    'The protocol’s text is fixed by its hash in the first event of the log; it did not change after the start.',
  );
  return items.length === 0
    ? [plain('None is on record.'), fixed]
    : [{ kind: 'list', items }, fixed];
};
