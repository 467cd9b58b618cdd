import type { Invitation, Person, Session } from '../ports/store.ts';

/** One row of either database, by column. */
export type Row = Record<string, unknown>;

export const personOf = (r: Row): Person => ({
  seat: String(r['seat']),
  panel: String(r['panel']),
  name: String(r['name']),
  salt: String(r['salt']),
  lead: r['lead'] === 1,
});

export const sessionOf = (r: Row): Session => ({
  id: String(r['id']),
  seat: r['seat'] as string | null,
  panel: r['panel'] as string | null,
  device: String(r['device']),
  startedAt: String(r['started_at']),
  seenAt: String(r['seen_at']),
  arrival: r['arrival'] as Session['arrival'],
});

export const invitationOf = (r: Row): Invitation => ({
  id: String(r['id']),
  kind: r['kind'] as Invitation['kind'],
  panel: r['panel'] as string | null,
  seat: r['seat'] as string | null,
  secret: String(r['secret']),
  code: r['code'] as string | null,
  expiresAt: String(r['expires_at']),
  once: r['once'] === 1,
  ends: r['ends'] as string | null,
  open: r['open'] === 1,
});
