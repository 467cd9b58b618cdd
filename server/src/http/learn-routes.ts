import {
  learningQuery,
  practiceBody,
  practiceFinishBody,
  practiceShareBody,
} from '@unhindered/shared-types';
import { Router, type Request, type Response } from 'express';
import type { App } from '../flows/app.ts';
import type { Houses } from '../flows/houses.ts';
import {
  protocolLearning,
  protocolPageRefusal,
  protocolVersions,
  reviewerLearning,
} from '../flows/learn.ts';
import {
  beginPractice,
  finishPractice,
  giveUpPractice,
  practiceList,
  practiceView,
  practiserOf,
  sharePractice,
  type Practiser,
} from '../flows/practice.ts';
import { sealedRefusal } from '../flows/publication.ts';
import { readBody, readQuery, send, sendRejection } from './answers.ts';
import { reader } from './reader.ts';

/** What reviewers and protocols learn from locked evaluations, and practice on them. */
export const learnRoutes = (houses: Houses): Router => {
  const router = Router();
  const anybody = reader(houses, () => Promise.resolve(undefined));
  const pageReader = reader(houses, protocolPageRefusal);
  // A sealed sheet of one's own comes first: what another panel found must not lean on it.
  const unsealed = reader(houses, sealedRefusal);

  const practiser = async (
    request: Request,
    response: Response,
  ): Promise<{ app: App; who: Practiser } | undefined> => {
    const visitor = await unsealed(request, response);
    if (!visitor) return undefined;
    const { app } = visitor.house;
    const who = await practiserOf(app, visitor.session);
    if (who.ok) return { app, who: who.value };
    sendRejection(response, who.rejection);
    return undefined;
  };

  router.get('/panels/:panel/learning/:seat', async (request, response) => {
    const visitor = await anybody(request, response);
    if (!visitor) return;
    const { panel, seat } = request.params;
    send(response, await reviewerLearning(visitor.house.app, visitor.session, panel, seat));
  });

  router.get('/learning', async (request, response) => {
    const visitor = await pageReader(request, response);
    const query = visitor && readQuery(learningQuery, request, response);
    if (query) send(response, await protocolLearning(visitor.house.app, query));
  });
  router.get('/learning/versions', async (request, response) => {
    const visitor = await pageReader(request, response);
    if (visitor) response.json({ versions: protocolVersions(visitor.house.app) });
  });

  router.get('/practice', async (request, response) => {
    const found = await practiser(request, response);
    if (found) response.json(await practiceList(found.app, found.who));
  });
  router.get(
    '/practice/:evaluation',
    async (request: Request<{ evaluation: string }>, response) => {
      const found = await practiser(request, response);
      if (found)
        send(response, await practiceView(found.app, found.who, request.params.evaluation));
    },
  );
  router.post('/practice', async (request, response) => {
    const found = await practiser(request, response);
    const body = found && readBody(practiceBody, request, response);
    if (body) send(response, await beginPractice(found.app, found.who, body.evaluation));
  });
  router.post('/practice/finish', async (request, response) => {
    const found = await practiser(request, response);
    const body = found && readBody(practiceFinishBody, request, response);
    if (body) send(response, await finishPractice(found.app, found.who, body));
  });
  router.post('/practice/give-up', async (request, response) => {
    const found = await practiser(request, response);
    const body = found && readBody(practiceBody, request, response);
    if (body) send(response, await giveUpPractice(found.app, found.who, body.evaluation));
  });
  router.post('/practice/share', async (request, response) => {
    const found = await practiser(request, response);
    const body = found && readBody(practiceShareBody, request, response);
    if (body) send(response, await sharePractice(found.app, found.who, body));
  });

  return router;
};
