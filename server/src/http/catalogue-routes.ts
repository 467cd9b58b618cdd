import { catalogueQuery, publicLookBody, reject } from '@unhindered/shared-types';
import { Router } from 'express';
import { compareEvaluations, findInCatalogue } from '../flows/compare.ts';
import { careCardOf, catalogueRefusal, lookPublic, publicationOf } from '../flows/publication.ts';
import type { Houses } from '../flows/houses.ts';
import { readBody, readQuery, send } from './answers.ts';
import { reader } from './reader.ts';

/** A public link names no organisation: the one whose secret it is answers, and all others alike. */
const lookAnywhere = async (houses: Houses, secret: string): ReturnType<typeof lookPublic> => {
  let answer: Awaited<ReturnType<typeof lookPublic>> | undefined;
  for (const { app } of houses.all()) {
    answer = await lookPublic(app, secret);
    if (answer.ok) return answer;
  }
  return answer ?? { ok: false, rejection: reject('unknown-thing', 'There is no such link.') };
};

/** The catalogue, comparisons, care cards, and what public links lead to. */
export const catalogueRoutes = (houses: Houses): Router => {
  const router = Router();
  const readerOf = reader(houses, catalogueRefusal);

  router.get('/catalogue', async (request, response) => {
    const visitor = await readerOf(request, response);
    const query = visitor && readQuery(catalogueQuery, request, response);
    if (query) response.json(await findInCatalogue(visitor.house.app, query));
  });

  router.get('/compare', async (request, response) => {
    const visitor = await readerOf(request, response);
    if (!visitor) return;
    const { ids } = request.query;
    const list = typeof ids === 'string' ? ids.split(',').filter(Boolean) : [];
    send(response, await compareEvaluations(visitor.house.app, list));
  });

  router.get('/cards/:id', async (request, response) => {
    const visitor = await readerOf(request, response);
    if (visitor) send(response, await careCardOf(visitor.house.app, request.params.id));
  });

  router.get('/evaluations/:id/publication', async (request, response) => {
    const visitor = await readerOf(request, response);
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
