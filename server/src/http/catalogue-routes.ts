import { catalogueQuery, publicLookBody, reject, type Outcome } from '@unhindered/shared-types';
import { Router, type Request, type Response } from 'express';
import * as v from 'valibot';
import { compareEvaluations, findInCatalogue } from '../flows/compare.ts';
import { careCardOf, catalogueRefusal, lookPublic, publicationOf } from '../flows/publication.ts';
import type { Houses, Visitor } from '../flows/houses.ts';
import { readBody, sendRejection } from './answers.ts';
import { cookieToken } from './origin.ts';

/** The value as JSON, or the refusal. */
export const send = <T>(response: Response, outcome: Outcome<T>): void => {
  if (outcome.ok) response.json(outcome.value);
  else sendRejection(response, outcome.rejection);
};

/** Somebody who may read the catalogue of their organisation; answers the request itself when there is none. */
const reader = async (
  houses: Houses,
  request: Request,
  response: Response,
): Promise<Visitor | undefined> => {
  const visitor = await houses.bySession(cookieToken(request.headers.cookie));
  const refusal = visitor
    ? await catalogueRefusal(visitor.house.app, visitor.session)
    : reject('not-signed-in', 'Sign in or join first.');
  if (!refusal) return visitor;
  sendRejection(response, refusal);
  return undefined;
};

/** A public link names no organisation: the one whose secret it is answers, and all others alike. */
const lookAnywhere = async (houses: Houses, secret: string): ReturnType<typeof lookPublic> => {
  let answer: Awaited<ReturnType<typeof lookPublic>> | undefined;
  for (const { app } of houses.all()) {
    answer = await lookPublic(app, secret);
    if (answer.ok) return answer;
  }
  return answer ?? { ok: false, rejection: reject('unknown-thing', 'There is no such link.') };
};

/** Filters as they stand in an address; an empty one is no filter. */
export const queryOf = (request: Request): Record<string, unknown> =>
  Object.fromEntries(Object.entries(request.query).filter(([, value]) => value !== ''));

/** The catalogue, comparisons, care cards, and what public links lead to. */
export const catalogueRoutes = (houses: Houses): Router => {
  const router = Router();

  router.get('/catalogue', async (request, response) => {
    const visitor = await reader(houses, request, response);
    if (!visitor) return;
    const parsed = v.safeParse(catalogueQuery, queryOf(request));
    if (parsed.success) {
      response.json(await findInCatalogue(visitor.house.app, parsed.output));
      return;
    }
    const [issue] = parsed.issues;
    const place = (issue.path ?? []).map((p) => String(p.key)).join('.');
    sendRejection(response, reject('bad-input', `"${place}": ${issue.message}`, { place }));
  });

  router.get('/compare', async (request, response) => {
    const visitor = await reader(houses, request, response);
    if (!visitor) return;
    const { ids } = request.query;
    const list = typeof ids === 'string' ? ids.split(',').filter(Boolean) : [];
    send(response, await compareEvaluations(visitor.house.app, list));
  });

  router.get('/cards/:id', async (request, response) => {
    const visitor = await reader(houses, request, response);
    if (visitor) send(response, await careCardOf(visitor.house.app, request.params.id));
  });

  router.get('/evaluations/:id/publication', async (request, response) => {
    const visitor = await reader(houses, request, response);
    if (!visitor) return;
    const { house, session } = visitor;
    send(response, await publicationOf(house.app, session, request.params.id));
  });

  router.post('/public/look', async (request, response) => {
    const body = readBody(publicLookBody, request, response);
    if (body) send(response, await lookAnywhere(houses, body.secret));
  });

  return router;
};
