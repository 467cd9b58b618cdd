import { registerQuery, reject } from '@unhindered/shared-types';
import { Router, type Request, type Response } from 'express';
import * as v from 'valibot';
import type { Houses, Visitor } from '../flows/houses.ts';
import { findInRegister, lookAtSpecimen, registerRefusal } from '../flows/look-register.ts';
import { sendRejection } from './answers.ts';
import { queryOf, send } from './catalogue-routes.ts';
import { cookieToken } from './origin.ts';

/** Somebody who may read the register of their organisation; answers the request itself when there is none. */
const reader = async (
  houses: Houses,
  request: Request,
  response: Response,
): Promise<Visitor | undefined> => {
  const visitor = await houses.bySession(cookieToken(request.headers.cookie));
  const refusal = visitor
    ? await registerRefusal(visitor.house.app, visitor.session)
    : reject('not-signed-in', 'Sign in or join first.');
  if (!refusal) return visitor;
  sendRejection(response, refusal);
  return undefined;
};

/** The register of specimens: a list to search, and each specimen with its history. Read by every member. */
export const registerRoutes = (houses: Houses): Router => {
  const router = Router();

  router.get('/specimens', async (request, response) => {
    const visitor = await reader(houses, request, response);
    if (!visitor) return;
    const parsed = v.safeParse(registerQuery, queryOf(request));
    if (parsed.success) {
      response.json(await findInRegister(visitor.house.app, parsed.output));
      return;
    }
    const [issue] = parsed.issues;
    const place = (issue.path ?? []).map((p) => String(p.key)).join('.');
    sendRejection(response, reject('bad-input', `"${place}": ${issue.message}`, { place }));
  });

  router.get('/specimens/:id', async (request, response) => {
    const visitor = await reader(houses, request, response);
    if (!visitor) return;
    const { house, session } = visitor;
    send(response, await lookAtSpecimen(house.app, session, request.params.id));
  });

  return router;
};
