import { reject } from '@unhindered/shared-types';
import type { Request, Response } from 'express';
import type { App, Identity, LiveEvaluation, LivePanel } from '../flows/app.ts';
import type { Houses, Visitor } from '../flows/houses.ts';
import { identityIn } from '../flows/sessions.ts';
import { practiceRefusal } from '../flows/practice.ts';
import { sendRejection } from './answers.ts';
import { cookieToken } from './origin.ts';

/** Who asks for an evaluation of their own panel. */
export interface Member {
  app: App;
  live: LiveEvaluation;
  identity: Identity;
  visitor: Visitor;
}

/** The evaluation in the address, for a member of its panel; answers the request itself for anybody else. */
export const memberEvaluation = async (
  houses: Houses,
  request: Request<{ id: string }>,
  response: Response,
): Promise<Member | undefined> => {
  const visitor = await houses.bySession(cookieToken(request.headers.cookie));
  const { app } = visitor?.house ?? {};
  const live = await app?.logs.evaluationNow(request.params.id);
  const panel = live?.state.created?.panel;
  const identity =
    app && visitor && panel !== undefined
      ? await identityIn(app, visitor.session, panel)
      : undefined;
  if (app && visitor && live && identity) return { app, live, identity, visitor };
  sendRejection(response, reject('unknown-thing', 'There is no such evaluation for you.'));
  return undefined;
};

/** The panel in the address, for who has a seat in it; answers the request itself for anybody else. */
export const memberPanel = async (
  houses: Houses,
  request: Request<{ id: string }>,
  response: Response,
): Promise<{ app: App; live: LivePanel; identity: Identity } | undefined> => {
  const visitor = await houses.bySession(cookieToken(request.headers.cookie));
  const { app } = visitor?.house ?? {};
  const live = await app?.logs.panelNow(request.params.id);
  const identity = app && live && visitor && (await identityIn(app, visitor.session, live.id));
  if (app && live && identity) return { app, live, identity };
  sendRejection(response, reject('unknown-thing', 'There is no such panel for you.'));
  return undefined;
};

/** As for an evaluation above, for whoever may be given results: nobody is while they practise (CP-2). */
export const resultReader = async (
  houses: Houses,
  request: Request<{ id: string }>,
  response: Response,
): Promise<Member | undefined> => {
  const member = await memberEvaluation(houses, request, response);
  const refusal = member && (await practiceRefusal(member.app, member.identity.seat));
  if (!refusal) return member;
  sendRejection(response, refusal);
  return undefined;
};
