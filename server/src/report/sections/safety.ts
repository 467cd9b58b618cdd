import {
  TAKES_PART,
  type IncidentSlice,
  type ModelSlice,
  type RecordBlock,
  type StopSlice,
} from '@unhindered/shared-types';
import { modelSlices } from '../../evaluation/safety.ts';
import type { RecordSource } from '../record-source.ts';
import {
  capital,
  heading,
  instantWords,
  listWords,
  plain,
  plural,
  quiet,
  seatWords,
  taskTitle,
} from '../words.ts';
import { eventsOf } from './course.ts';

/** Who it was; a seat that had ended before the evaluation was made has no words of its own here. */
const who = (source: RecordSource, seat: string): string =>
  source.state.seats.has(seat) ? seatWords(source, seat) : 'a seat that ended before';

const stopRow = (source: RecordSource, stop: StopSlice): string[][] => [
  [instantWords(stop.at), `by ${who(source, stop.seat)}`],
  [
    stop.reason ?? 'no reason given',
    ...stop.calls.map((c) => `Also ${who(source, c.seat)}: ${c.reason}`),
  ],
  stop.resumed
    ? [
        `${instantWords(stop.resumed.at)}, by ${who(source, stop.resumed.seat)}`,
        stop.resumed.measures,
      ]
    : ['not resumed before the lock'],
];

const stopBlocks = (source: RecordSource): RecordBlock[] => {
  const { stops } = source.state.safety;
  if (stops.length === 0) return [plain('Nobody stopped the day while this evaluation ran.')];
  return [
    {
      kind: 'table',
      caption: 'Times that everyone stopped; no round was opened meanwhile',
      head: ['Stopped', 'Why', 'Went on'],
      widths: [0.26, 0.34, 0.4],
      rows: stops.map((stop) => stopRow(source, stop)),
    },
  ];
};

/** Trials that were entered by a seat before it had acknowledged the briefing. */
const unbriefedTrials = (source: RecordSource): number => {
  const told = new Set<string>();
  let count = 0;
  for (const { type, data } of source.events) {
    if (type === 'briefing-acknowledged') told.add(data.seat);
    else if (type === 'entry-posted' && data.entry.kind === 'trial' && !told.has(data.seat))
      count++;
  }
  return count;
};

const briefingBlocks = (source: RecordSource): RecordBlock[] => {
  const told = new Set(eventsOf(source, 'briefing-acknowledged').map((e) => e.data.seat));
  const parts = [...source.state.seats.values()].filter(
    (s) => !s.revoked && TAKES_PART.includes(s.role),
  );
  const owing = parts.filter((s) => !told.has(s.seat)).map((s) => seatWords(source, s.seat));
  const unbriefed = unbriefedTrials(source);
  return [
    plain(
      `${String(parts.length - owing.length)} of ${plural(parts.length, 'seat', 'seats')} that take part in trials acknowledged this text:`,
    ),
    quiet(source.protocol.cautions.session),
    ...(owing.length === 0 ? [] : [plain(`Did not: ${listWords(owing)}.`)]),
    ...(unbriefed === 0
      ? []
      : [
          plain(
            `${plural(unbriefed, 'trial was', 'trials were')} entered by a seat that had not acknowledged it until then.`,
          ),
        ]),
  ];
};

const leftWords = (source: RecordSource, { withdrawn, trials }: ModelSlice): string[] => {
  if (!withdrawn) return ['stayed'];
  const decided = trials
    ? `${trials.count ? 'Earlier trials count' : 'Earlier trials were taken out'}, decided by ${who(source, trials.seat)}: ${trials.reason}`
    : 'Earlier trials count and are marked; nobody decided otherwise.';
  return [
    `left ${instantWords(withdrawn.at)}, told by ${who(source, withdrawn.seat)}; no reason was asked`,
    decided,
  ];
};

const modelBlocks = (source: RecordSource): RecordBlock[] => {
  const models = modelSlices(source.state);
  const used = [...source.state.trials.values()].flatMap((t) => t.entry.model ?? []);
  const without = [...new Set(used)].filter((m) => !source.state.safety.models.has(m)).toSorted();
  return [
    ...(models.length === 0
      ? [plain('No living model’s consent is on record.')]
      : [
          {
            kind: 'table' as const,
            caption: 'Models, by code; the signed forms are kept elsewhere',
            head: ['Model', 'Consent seen', 'Since'],
            widths: [0.16, 0.34, 0.5],
            rows: models.map((m) => [
              [m.model],
              [instantWords(m.consent.at), `by ${who(source, m.consent.seat)}`],
              leftWords(source, m),
            ]),
          },
        ]),
    ...(without.length === 0
      ? []
      : [plain(`Named in trials, without a consent on record: ${listWords(without)}.`)]),
    quiet(source.protocol.cautions.consent),
  ];
};

const incidentRow = (source: RecordSource, n: IncidentSlice): string[][] => {
  const trial = source.trials.find((t) => t.key === n.trial);
  const task = n.task ?? trial?.task ?? null;
  return [
    [instantWords(n.happenedAt), `noted ${instantWords(n.at)} by ${who(source, n.seat)}`],
    [
      ...(task === null ? [] : [taskTitle(source, task)]),
      ...(trial ? [`trial of event ${String(trial.seq)}`] : []),
      capital(n.what),
    ],
    [
      capital(n.done),
      n.direction === 'informed'
        ? 'Medical direction was informed.'
        : 'Medical direction was not informed.',
    ],
  ];
};

const incidentBlocks = (source: RecordSource): RecordBlock[] => {
  const { incidents } = source.state;
  if (incidents.length === 0) return [plain('No incident was noted.')];
  return [
    {
      kind: 'table',
      caption: 'Incidents, as they were noted; a note is never changed',
      head: ['When', 'What', 'What was done'],
      widths: [0.26, 0.37, 0.37],
      rows: incidents.map((n) => incidentRow(source, n)),
    },
  ];
};

/** SD-9: the safety of the day, each part from the log's events: stops, briefing, models and their consent, incidents. */
export const safetyBlocks = (source: RecordSource): RecordBlock[] => [
  ...stopBlocks(source),
  heading('Briefing'),
  ...briefingBlocks(source),
  heading('Models'),
  ...modelBlocks(source),
  heading('Incidents'),
  ...incidentBlocks(source),
];
