import { reject, type Rejection } from '@unhindered/shared-types';
import type { Request, Response } from 'express';
import type { App } from '../flows/app.ts';
import type { Houses, Visitor } from '../flows/houses.ts';
import type { Session } from '../ports/store.ts';
import { sendRejection } from './answers.ts';
import { cookieToken } from './origin.ts';

/** Whoever `refusal` lets read something of their organisation; answers the request itself when nobody may. */
export const reader =
  (houses: Houses, refusal: (app: App, session: Session) => Promise<Rejection | undefined>) =>
  async (request: Request, response: Response): Promise<Visitor | undefined> => {
    const visitor = await houses.bySession(cookieToken(request.headers.cookie));
    const refused = visitor
      ? await refusal(visitor.house.app, visitor.session)
      : reject('not-signed-in', 'Sign in or join first.');
    if (!refused) return visitor;
    sendRejection(response, refused);
    return undefined;
  };
