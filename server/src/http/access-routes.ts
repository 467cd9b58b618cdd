import {
  joinBody,
  lookBody,
  passphraseBody,
  refused,
  reject,
  signInBody,
  ticketBody,
  type JoinAnswer,
  type Outcome,
  type TicketAnswer,
} from '@unhindered/shared-types';
import { Router, type Request, type Response } from 'express';
import { documentMode } from '../evaluation/visibility.ts';
import { protocolOf, type App } from '../flows/app.ts';
import type { Houses, Visitor } from '../flows/houses.ts';
import { identityIn, signOut } from '../flows/sessions.ts';
import { whoIs } from '../flows/who-is.ts';
import { setPassphrase, signInByPassphrase } from '../flows/passphrase.ts';
import { lookInvitation, signInLead, takeSeat, type InvitationKey } from '../flows/take-seat.ts';
import { readBody, sendRejection } from './answers.ts';
import { CodeLimits } from './code-limits.ts';
import { COOKIE, cookieToken } from './origin.ts';

/**
 * AC-20: where a request comes from, for counting wrong codes: the peer, or what the proxy on this machine says. Only the
 * last address is the proxy's own word; those before it are the visitor's.
 */
const sourceOf = (app: App, request: Request): string => {
  const peer = request.socket.remoteAddress ?? '';
  const said = app.proxied ? request.headers['x-forwarded-for'] : undefined;
  const last = typeof said === 'string' ? said.split(',').at(-1)?.trim() : undefined;
  return last === undefined || last === '' ? peer : last;
};

const DAY_MS = 24 * 3600_000;

const notSignedIn = reject('not-signed-in', 'Sign in or join first.');

const visitorOf = (houses: Houses, request: Request): Promise<Visitor | undefined> =>
  houses.bySession(cookieToken(request.headers.cookie));

/** AC-12: scripts cannot read the session cookie, and other sites cannot make a browser send it. */
const setCookie = (app: App, response: Response, token: string): void => {
  response.cookie(COOKIE, token, {
    httpOnly: true,
    sameSite: 'strict',
    secure: app.transport === 'tls' || app.proxied,
    path: '/',
    maxAge: DAY_MS,
  });
};

/** AC-5: wrong tries are counted by source and in all; past the limit the answer is how long to wait. */
const counted = async <T>(
  limits: Pick<CodeLimits, 'take' | 'giveBack'>,
  source: string,
  what: string,
  tryKey: () => Promise<Outcome<T>>,
): Promise<Outcome<T>> => {
  const wait = await limits.take(source);
  if (wait > 0) {
    const text = `Too many wrong ${what}. Try again in ${String(wait)} seconds.`;
    return refused('too-many-tries', text, { wait });
  }
  const outcome = await tryKey();
  if (outcome.ok || outcome.rejection.code !== 'code-unknown') await limits.giveBack(source);
  return outcome;
};

/** Links cannot be guessed and are not counted. */
const limited = <T>(
  app: App,
  request: Request,
  key: InvitationKey,
  tryKey: () => Promise<Outcome<T>>,
): Promise<Outcome<T>> =>
  'code' in key ? counted(app.codes, sourceOf(app, request), 'codes', tryKey) : tryKey();

/** AC-21: wrong passphrases are counted as wrong codes are, and apart from them: a guesser of one closes not the other. */
const signInRoutes = (router: Router, base: App, houses: Houses): void => {
  const tries = new CodeLimits(() => base.timers.now());

  router.post('/sign-in', async (request, response) => {
    const body = readBody(signInBody, request, response);
    if (!body) return;
    const outcome =
      'secret' in body
        ? await signInLead((await houses.byKey(body)).app, body.secret)
        : await counted(tries, sourceOf(base, request), 'passphrases', async () =>
            signInByPassphrase(
              (await houses.byName(body.organisation.trim()))?.app,
              body.passphrase,
            ),
          );
    if (!outcome.ok) {
      sendRejection(response, outcome.rejection);
      return;
    }
    setCookie(base, response, outcome.value.token);
    response.json({});
  });

  router.post('/passphrase', async (request, response) => {
    const body = readBody(passphraseBody, request, response);
    if (!body) return;
    const own = await visitorOf(houses, request);
    const outcome = own
      ? await setPassphrase(own.house.app, own.session, body.passphrase)
      : { ok: false as const, rejection: notSignedIn };
    if (outcome.ok) response.json({});
    else sendRejection(response, outcome.rejection);
  });
};

const sessionRoutes = (router: Router, base: App, houses: Houses): void => {
  router.post('/sign-out', async (request, response) => {
    const own = await visitorOf(houses, request);
    if (own) await signOut(own.house.app, own.session);
    response.clearCookie(COOKIE, { path: '/', sameSite: 'strict', httpOnly: true });
    response.json({});
  });

  router.get('/me', async (request, response) => {
    response.json(await whoIs(base, await visitorOf(houses, request)));
  });
};

const invitationRoutes = (router: Router, base: App, houses: Houses): void => {
  router.post('/invitations/look', async (request, response) => {
    const body = readBody(lookBody, request, response);
    if (!body) return;
    const outcome = await limited(base, request, body.key, async () =>
      lookInvitation((await houses.byKey(body.key)).app, body.key),
    );
    if (outcome.ok) response.json(outcome.value);
    else sendRejection(response, outcome.rejection);
  });

  router.post('/invitations/use', async (request, response) => {
    const body = readBody(joinBody, request, response);
    if (!body) return;
    const outcome = await limited(base, request, body.key, async () =>
      takeSeat((await houses.byKey(body.key)).app, body.key, body.name),
    );
    if (!outcome.ok) {
      sendRejection(response, outcome.rejection);
      return;
    }
    const { token, panel, seat, waits } = outcome.value;
    setCookie(base, response, token);
    const answer: JoinAnswer = { panel, seat, waits };
    response.json(answer);
  });
};

const ticketRoutes = (router: Router, houses: Houses): void => {
  router.post('/tickets', async (request, response) => {
    const body = readBody(ticketBody, request, response);
    if (!body) return;
    const visitor = await visitorOf(houses, request);
    if (!visitor) {
      sendRejection(response, notSignedIn);
      return;
    }
    const { session: own } = visitor;
    const { app, tickets } = visitor.house;
    const live = await app.logs.evaluationNow(body.evaluation);
    const panel = live?.state.created?.panel;
    const identity = panel === undefined ? undefined : await identityIn(app, own, panel);
    const mode =
      live && identity
        ? documentMode(
            live.state,
            body.document,
            identity.seat,
            protocolOf(app, live.state).protocol,
          )
        : 'none';
    if (!live || panel === undefined || mode === 'none') {
      sendRejection(response, reject('unknown-thing', 'There is no such document for you.'));
      return;
    }
    const { evaluation, document } = body;
    const answer: TicketAnswer = {
      ticket: await tickets.issue({ session: own.id, document, evaluation, panel }),
    };
    response.json(answer);
  });
};

/** Sign-in, invitations, who am I, tickets. Nothing is changed by a GET. */
export const accessRoutes = (app: App, houses: Houses): Router => {
  const router = Router();
  signInRoutes(router, app, houses);
  sessionRoutes(router, app, houses);
  invitationRoutes(router, app, houses);
  ticketRoutes(router, houses);
  return router;
};
