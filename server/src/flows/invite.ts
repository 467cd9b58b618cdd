import type { CommandResult } from '@unhindered/shared-types';
import type { Invitation } from '../ports/store.ts';
import type { App } from './app.ts';
import { codeHash, secretHash } from './secrets.ts';

/** A typed code serves minutes; a link without a chosen date serves a day. */
const CODE_MS = 10 * 60_000;
const LINK_MS = 24 * 3600_000;
const LONGEST_MS = 90 * 24 * 3600_000;

/**
 * AC-8: an invitation to a seat. A typed code works once, within minutes; a link works until a date, and after its
 * first use adds devices to the same seat. The secret is shown once and kept as a hash.
 */
export const newInvitation = (
  app: App,
  to: { panel: string; seat: string; kind: 'seat' | 'device' },
  by: 'code' | 'link',
  until: string | null,
  { ends = null, open = false }: { ends?: string | null; open?: boolean } = {},
): { invitation: Invitation; result: CommandResult } => {
  const secret = app.ids.secret(16);
  const code = by === 'code' ? app.ids.code() : null;
  const now = app.timers.now();
  const wanted = until === null ? now + LINK_MS : Date.parse(until);
  const expires = by === 'code' ? now + CODE_MS : Math.min(wanted, now + LONGEST_MS);
  const expiresAt = new Date(expires).toISOString();
  const invitation: Invitation = {
    ...to,
    id: app.ids.id('in'),
    secret: secretHash(secret),
    code: code === null ? null : codeHash(code),
    expiresAt,
    once: by === 'code',
    ends,
    open,
  };
  return {
    invitation,
    result: { kind: 'invitation', seat: to.seat, secret, code, until: expiresAt },
  };
};

/** The lead's way in: a secret that serves once, within a day. */
export const leadInvitation = (app: App): { invitation: Invitation; secret: string } => {
  const secret = app.ids.secret(16);
  const invitation: Invitation = {
    id: app.ids.id('in'),
    kind: 'lead',
    panel: null,
    seat: null,
    secret: secretHash(secret),
    code: null,
    expiresAt: new Date(app.timers.now() + LINK_MS).toISOString(),
    once: true,
    ends: null,
    open: true,
  };
  return { invitation, secret };
};
