/** What became of a record after its lock. Nothing of the record itself changes. */
export type RecordState =
  | { kind: 'current' }
  | { kind: 'superseded'; by: string; at: string; reason: string }
  | { kind: 'withdrawn'; at: string; reason: string };
