import type { Committed } from '../ports/store.ts';

export type ConflictKind = Extract<Committed, { ok: false }>['conflict'];

/** Raised inside a transaction to roll it back for an expected reason. */
export class Conflict extends Error {
  readonly kind: ConflictKind;
  constructor(kind: ConflictKind) {
    super(kind);
    this.kind = kind;
  }
}
