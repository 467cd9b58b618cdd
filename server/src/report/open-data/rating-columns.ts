import type { RecordSource } from '../record-source.ts';
import type { Column } from './columns.ts';
import type { RatingRow } from './rating-rows.ts';
import { sectionOf } from './section-of.ts';

/** It stands, and no declared interest takes it out. */
export const counted = (source: RecordSource, r: RatingRow): boolean =>
  r.stands && !(source.state.seats.get(r.seat)?.excluded.includes(r.task) ?? false);

/** Columns of the file of ratings. */
export const ratingColumns = (source: RecordSource): Column<RatingRow>[] => [
  {
    name: 'evaluation',
    type: 'id',
    meaning: 'Evaluation, the same in every row',
    of: () => source.bundle.log,
  },
  {
    name: 'event',
    type: 'number',
    meaning: 'Number of the event in the log that recorded it',
    of: (r) => r.seq,
  },
  {
    name: 'recorded_at',
    type: 'time',
    meaning: 'Server time of that event, ISO 8601 UTC',
    of: (r) => r.at,
  },
  { name: 'round', type: 'number', meaning: 'Round, from 1', of: (r) => r.round },
  {
    name: 'section',
    type: 'id',
    meaning: 'Section of the protocol',
    of: (r) => sectionOf(source, r.task)?.id ?? null,
  },
  { name: 'task', type: 'id', meaning: 'Task of the protocol', of: (r) => r.task },
  { name: 'seat', type: 'id', meaning: 'Seat of the reviewer, a pseudonym', of: (r) => r.seat },
  {
    name: 'reviewer',
    type: 'text',
    meaning: 'Letter of the reviewer',
    of: (r) => source.state.seats.get(r.seat)?.letter ?? null,
  },
  {
    name: 'answer',
    type: 'id',
    meaning: 'step, not-applicable, not-observed or abstained',
    of: (r) => r.rating.answer,
  },
  {
    name: 'step',
    type: 'number',
    meaning: 'Point of the protocol’s scale; empty when the answer is not a step',
    of: (r) => r.rating.step,
  },
  {
    name: 'easier',
    type: 'yes-no',
    meaning: 'Ticked as easier than without the equipment',
    of: (r) => r.rating.easier,
  },
  { name: 'reason', type: 'text', meaning: 'Why not applicable', of: (r) => r.rating.reason },
  {
    name: 'critical',
    type: 'text',
    meaning: 'Reason of a proposed critical failure; empty when none was proposed',
    of: (r) => r.rating.critical,
  },
  { name: 'note', type: 'text', meaning: 'The reviewer’s note', of: (r) => r.rating.note },
  {
    name: 'rated_at',
    type: 'time',
    meaning: 'The device’s clock when it was rated, as told',
    of: (r) => r.rating.at,
  },
  {
    name: 'changed',
    type: 'yes-no',
    meaning: 'Changed on the sheet after it was first entered, before the opening',
    of: (r) => r.changed,
  },
  {
    name: 'source',
    type: 'id',
    meaning:
      'sheet (at the opening), correction (by its owner, after it), late (offered after it) or paper (imported, never sealed by this program)',
    of: (r) => r.source,
  },
  {
    name: 'stands',
    type: 'yes-no',
    meaning: 'The seat’s standing rating of the task at the lock',
    of: (r) => r.stands,
  },
  {
    name: 'counted',
    type: 'yes-no',
    meaning:
      'Stands, and is not taken out by a declared interest; enters the figures when the answer is a step',
    of: (r) => counted(source, r),
  },
];
