import type { MeAnswer } from '@unhindered/shared-types';
import { DEMO_PROTOCOL } from '../protocol/demonstration.ts';
import type { App } from './app.ts';
import type { Visitor } from './houses.ts';
import { arrivalOf, seatsOf } from './sessions.ts';

/** A workspace with the demonstration's protocol holds nothing but invented evaluations. */
const isDemonstration = (app: App): boolean =>
  [...app.protocols.values()].some((p) => p.protocol.id === DEMO_PROTOCOL);

/** Who a browser is signed in as; `base` answers where nobody is known. */
export const whoIs = async (base: App, own: Visitor | undefined): Promise<MeAnswer> => ({
  signedIn: own !== undefined,
  lead: own?.session.seat === null,
  passphrase: own?.session.seat === null && (await own.house.app.store.passphrase()) !== null,
  seats: own ? await seatsOf(own.house.app, own.session) : [],
  arrival: own ? await arrivalOf(own.house.app, own.session) : null,
  software: base.software,
  invented: isDemonstration(own?.house.app ?? base),
  encrypted: base.transport !== 'plain',
});
