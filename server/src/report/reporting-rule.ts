import type { RecordSectionId, ReportingItem } from '@unhindered/shared-types';
import type { RecordSource } from './record-source.ts';

export type Answer = Pick<ReportingItem, 'status' | 'place' | 'remark'>;
/** One reporting item: its id, what is asked, after which list, and the answer from what is on record. */
export type Rule = readonly [
  id: string,
  item: string,
  after: string,
  answer: (s: RecordSource) => Answer,
];

export const present = (place: RecordSectionId, remark = ''): Answer => ({
  status: 'present',
  place,
  remark,
});
/** In part: `remark` says what there is, or what is missing. */
export const partly = (place: RecordSectionId, remark: string): Answer => ({
  status: 'partly',
  place,
  remark,
});
export const absent = (remark: string): Answer => ({ status: 'absent', place: null, remark });
