import {
  joinBody,
  lookBody,
  reject,
  signInBody,
  ticketBody,
  type MeAnswer,
  type Rejection,
  type TicketAnswer,
} from '@unhindered/shared-types';
import { Router, type Request, type Response } from 'express';
import { documentMode } from '../evaluation/visibility.ts';
import type { App } from '../flows/app.ts';
import { identityIn, sessionOf, signOut } from '../flows/sessions.ts';
import { lookInvitation, signInLead, takeSeat, type InvitationKey } from '../flows/take-seat.ts';
import type { Tickets } from '../flows/tickets.ts';
import type { Session } from '../ports/store.ts';
import { readBody, sendRejection } from './answers.ts';
import { CodeLimits } from './code-limits.ts';
import { COOKIE, cookieToken } from './origin.ts';

const DAY_MS = 24 * 3600_000;

const notSignedIn = reject('not-signed-in', 'Sign in or join first.');

/** Sign-in, invitations, who am I, tickets. Nothing is changed by a GET. */
export const accessRoutes = (app: App, tickets: Tickets): Router => {
  const router = Router();
  const limits = new CodeLimits();

  const setCookie = (response: Response, token: string): void => {
    response.cookie(COOKIE, token, {
      httpOnly: true,
      sameSite: 'strict',
      secure: app.transport === 'tls',
      path: '/',
      maxAge: DAY_MS,
    });
  };
  const session = (request: Request): Promise<Session | undefined> =>
    sessionOf(app, cookieToken(request.headers.cookie));

  /** AC-5: wrong typed codes are counted by source; past the limit the answer is how long to wait. */
  const barred = async (request: Request, key: InvitationKey): Promise<Rejection | undefined> => {
    if (!('code' in key)) return undefined;
    const wait = await limits.wait(request.socket.remoteAddress ?? '');
    if (wait === 0) return undefined;
    const text = `Too many wrong codes. Try again in ${String(wait)} seconds.`;
    return reject('too-many-tries', text, { wait });
  };
  const countWrong = async (request: Request, key: InvitationKey, code: string): Promise<void> => {
    if ('code' in key && code === 'code-unknown') {
      await limits.wrong(request.socket.remoteAddress ?? '');
    }
  };

  router.post('/sign-in', async (request, response) => {
    const body = readBody(signInBody, request, response);
    if (!body) return;
    const outcome = await signInLead(app, body.secret);
    if (!outcome.ok) {
      sendRejection(response, outcome.rejection);
      return;
    }
    setCookie(response, outcome.value.token);
    response.json({});
  });

  router.post('/sign-out', async (request, response) => {
    const own = await session(request);
    if (own) await signOut(app, own);
    response.clearCookie(COOKIE, { path: '/', sameSite: 'strict', httpOnly: true });
    response.json({});
  });

  router.post('/invitations/look', async (request, response) => {
    const body = readBody(lookBody, request, response);
    if (!body) return;
    const bar = await barred(request, body.key);
    const outcome = bar
      ? { ok: false as const, rejection: bar }
      : await lookInvitation(app, body.key);
    if (outcome.ok) response.json(outcome.value);
    else {
      await countWrong(request, body.key, outcome.rejection.code);
      sendRejection(response, outcome.rejection);
    }
  });

  router.post('/invitations/use', async (request, response) => {
    const body = readBody(joinBody, request, response);
    if (!body) return;
    const bar = await barred(request, body.key);
    const outcome = bar
      ? { ok: false as const, rejection: bar }
      : await takeSeat(app, body.key, body.name);
    if (outcome.ok) {
      setCookie(response, outcome.value.token);
      response.json({ panel: outcome.value.panel, seat: outcome.value.seat });
    } else {
      await countWrong(request, body.key, outcome.rejection.code);
      sendRejection(response, outcome.rejection);
    }
  });

  router.get('/me', async (request, response) => {
    const own = await session(request);
    const answer: MeAnswer = {
      signedIn: own !== undefined,
      lead: own !== undefined && own.seat === null,
      seats: [],
      software: app.software,
      encrypted: app.transport !== 'plain',
    };
    if (own?.panel && own.seat) {
      const panel = await app.logs.panel(own.panel);
      const seat = panel?.state.seats.get(own.seat);
      if (panel && seat) {
        const { role, letter } = seat;
        answer.seats.push({
          seat: own.seat,
          panel: own.panel,
          panelTitle: panel.state.title,
          role,
          letter,
        });
      }
    }
    response.json(answer);
  });

  router.post('/tickets', async (request, response) => {
    const body = readBody(ticketBody, request, response);
    if (!body) return;
    const own = await session(request);
    if (!own) {
      sendRejection(response, notSignedIn);
      return;
    }
    const live = await app.logs.evaluation(body.evaluation);
    const panel = live?.state.created?.panel;
    const identity = panel === undefined ? undefined : await identityIn(app, own, panel);
    const mode = live && identity ? documentMode(live.state, body.document, identity.seat) : 'none';
    if (!live || panel === undefined || mode === 'none') {
      sendRejection(response, reject('unknown-thing', 'There is no such document for you.'));
      return;
    }
    const { evaluation, document } = body;
    const answer: TicketAnswer = {
      ticket: tickets.issue({ session: own.id, document, evaluation, panel }),
    };
    response.json(answer);
  });

  return router;
};
