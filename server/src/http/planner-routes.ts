import { planBody } from '@unhindered/shared-types';
import { Router } from 'express';
import type { Houses } from '../flows/houses.ts';
import { planFor } from '../flows/planner.ts';
import { readBody, send } from './answers.ts';
import { reader } from './reader.ts';

/** Plans of a panel's day: worked out for its moderators from what they send, and not kept. */
export const plannerRoutes = (houses: Houses): Router => {
  const router = Router();
  const readerOf = reader(houses, () => Promise.resolve(undefined));

  router.post('/panels/:id/plan', async (request, response) => {
    const visitor = await readerOf(request, response);
    const body = visitor && readBody(planBody, request, response);
    if (!body) return;
    const { house, session } = visitor;
    send(response, await planFor(house.app, session, request.params.id, body));
  });

  return router;
};
