import { catalogueQuery, publicLookBody, reject, type Outcome } from '@unhindered/shared-types';
import { Router, type Request, type Response } from 'express';
import * as v from 'valibot';
import type { App } from '../flows/app.ts';
import { compareEvaluations, findInCatalogue } from '../flows/compare.ts';
import { careCardOf, catalogueRefusal, lookPublic, publicationOf } from '../flows/publication.ts';
import { sessionOf } from '../flows/sessions.ts';
import type { Session } from '../ports/store.ts';
import { readBody, sendRejection } from './answers.ts';
import { cookieToken } from './origin.ts';

const send = <T>(response: Response, outcome: Outcome<T>): void => {
  if (outcome.ok) response.json(outcome.value);
  else sendRejection(response, outcome.rejection);
};

/** The session of somebody who may read the catalogue; answers the request itself when there is none. */
const reader = async (
  app: App,
  request: Request,
  response: Response,
): Promise<Session | undefined> => {
  const session = await sessionOf(app, cookieToken(request.headers.cookie));
  const refusal = session
    ? await catalogueRefusal(app, session)
    : reject('not-signed-in', 'Sign in or join first.');
  if (!refusal) return session;
  sendRejection(response, refusal);
  return undefined;
};

/** Filters as they stand in an address; an empty one is no filter. */
const queryOf = (request: Request): Record<string, unknown> =>
  Object.fromEntries(Object.entries(request.query).filter(([, value]) => value !== ''));

/** The catalogue, comparisons, care cards, and what public links lead to. */
export const catalogueRoutes = (app: App): Router => {
  const router = Router();

  router.get('/catalogue', async (request, response) => {
    if (!(await reader(app, request, response))) return;
    const parsed = v.safeParse(catalogueQuery, queryOf(request));
    if (parsed.success) {
      response.json(await findInCatalogue(app, parsed.output));
      return;
    }
    const [issue] = parsed.issues;
    const place = (issue.path ?? []).map((p) => String(p.key)).join('.');
    sendRejection(response, reject('bad-input', `"${place}": ${issue.message}`, { place }));
  });

  router.get('/compare', async (request, response) => {
    if (!(await reader(app, request, response))) return;
    const { ids } = request.query;
    const list = typeof ids === 'string' ? ids.split(',').filter(Boolean) : [];
    send(response, await compareEvaluations(app, list));
  });

  router.get('/cards/:id', async (request, response) => {
    if (await reader(app, request, response))
      send(response, await careCardOf(app, request.params.id));
  });

  router.get('/evaluations/:id/publication', async (request, response) => {
    const session = await reader(app, request, response);
    if (session) send(response, await publicationOf(app, session, request.params.id));
  });

  router.post('/public/look', async (request, response) => {
    const body = readBody(publicLookBody, request, response);
    if (body) send(response, await lookPublic(app, body.secret));
  });

  return router;
};
