import type { FirstLookAnswer } from '@unhindered/shared-types';
import { Router } from 'express';
import type { App } from '../flows/app.ts';
import { firstLook } from '../flows/first-look.ts';
import type { Houses } from '../flows/houses.ts';
import { whoIs } from '../flows/who-is.ts';
import { memberEvaluation } from './member.ts';

/**
 * All that a sheet begins with, in one answer instead of one turn after the other. It is sent as it is: compressed, its
 * length would tell a listener on the network how much of what others typed is alike to what is secret in it.
 */
export const firstLookRoutes = (app: App, houses: Houses): Router => {
  const router = Router();
  router.get('/evaluations/:id/first-look', async (request, response) => {
    const member = await memberEvaluation(houses, request, response);
    if (!member) return;
    const answer: FirstLookAnswer = {
      me: await whoIs(app, member.visitor),
      look: await firstLook(member.app, member.live, member.identity.seat),
    };
    response.json(answer);
  });
  return router;
};
