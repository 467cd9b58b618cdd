import { Router } from 'express';
import type { Houses } from '../flows/houses.ts';
import { accessOf, compareAccess } from '../flows/access-times.ts';
import { catalogueRefusal } from '../flows/publication.ts';
import { send } from './answers.ts';
import { memberEvaluation } from './member.ts';
import { reader } from './reader.ts';

/** Times to access: of one evaluation for its panel, and of locked ones side by side for readers of the catalogue. */
export const ladderRoutes = (houses: Houses): Router => {
  const router = Router();
  const readerOf = reader(houses, catalogueRefusal);

  router.get('/evaluations/:id/access', async (request, response) => {
    const member = await memberEvaluation(houses, request, response);
    if (member) send(response, await accessOf(member.app, member.live, member.identity.seat));
  });

  router.get('/compare/access', async (request, response) => {
    const visitor = await readerOf(request, response);
    if (!visitor) return;
    const { ids } = request.query;
    const list = typeof ids === 'string' ? ids.split(',').filter(Boolean) : [];
    send(response, await compareAccess(visitor.house.app, list));
  });

  return router;
};
