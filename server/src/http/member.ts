import { reject } from '@unhindered/shared-types';
import type { Request, Response } from 'express';
import type { App, LiveEvaluation } from '../flows/app.ts';
import { identityIn, sessionOf } from '../flows/sessions.ts';
import { sendRejection } from './answers.ts';
import { cookieToken } from './origin.ts';

/** The evaluation in the address, for a member of its panel; answers the request itself for anybody else. */
export const memberEvaluation = async (
  app: App,
  request: Request<{ id: string }>,
  response: Response,
): Promise<LiveEvaluation | undefined> => {
  const session = await sessionOf(app, cookieToken(request.headers.cookie));
  const live = session && (await app.logs.evaluation(request.params.id));
  const panel = live?.state.created?.panel;
  const identity =
    session && panel !== undefined ? await identityIn(app, session, panel) : undefined;
  if (live && identity) return live;
  sendRejection(response, reject('unknown-thing', 'There is no such evaluation for you.'));
  return undefined;
};
