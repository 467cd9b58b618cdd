import { commandMessage, protocolDiffQuery, reject } from '@unhindered/shared-types';
import express, { Router, type Request, type RequestHandler, type Response } from 'express';
import * as v from 'valibot';
import type { Houses } from '../flows/houses.ts';
import { checkDraft, listProtocols, lookAtDraft, protocolDiff } from '../flows/look-workshop.ts';
import { runWorkspaceCommand } from '../flows/run-workspace-command.ts';
import { protocolsRefusal, workshopRefusal } from '../flows/workshop.ts';
import { protocolSchema } from '../protocol/protocol-schema.ts';
import { misread, readQuery, send, sendRejection } from './answers.ts';
import { reader } from './reader.ts';

/** A text of 1 MB, every sign of it escaped. */
const BODY = '2mb';

/** Where a command on the workspace's protocols goes: a draft is larger than what other commands may send. */
const command = async (
  readerOf: ReturnType<typeof reader>,
  request: Request,
  response: Response,
): Promise<void> => {
  const visitor = await readerOf(request, response);
  if (!visitor) return;
  const parsed = v.safeParse(commandMessage, request.body);
  if (!parsed.success) sendRejection(response, misread(parsed.issues, 'The message'));
  else if (parsed.output.on !== 'workspace') {
    sendRejection(response, reject('bad-input', 'Send a command on the workspace.'));
  } else {
    const { app } = visitor.house;
    const answer = await runWorkspaceCommand(app, visitor.session, parsed.output);
    if (answer.ok) response.json(answer);
    else sendRejection(response, answer.rejection);
  }
};

/**
 * Commands on drafts, by people who may send them: nobody else's large body is read. To stand before the reader of
 * small bodies.
 */
export const workshopCommandRoutes = (
  houses: Houses,
  onlyUtf8: (request: unknown, response: unknown, bytes: Buffer) => void,
): Router => {
  const router = Router();
  const readerOf = reader(houses, workshopRefusal);
  const allowed: RequestHandler = (request, response, next) => {
    readerOf(request, response).then((visitor) => {
      if (visitor) next();
    }, next);
  };
  const body = express.json({ limit: BODY, inflate: false, strict: true, verify: onlyUtf8 });
  router.post('/workshop', allowed, body, (request, response) =>
    command(readerOf, request, response),
  );
  return router;
};

/** The protocols of the workspace: the list, drafts with their faults, differences in words, and the schema of the file. */
export const workshopRoutes = (houses: Houses): Router => {
  const router = Router();
  const lookerOf = reader(houses, protocolsRefusal);
  const writerOf = reader(houses, workshopRefusal);

  router.get('/protocol.schema.json', (_request, response) => {
    response.type('application/schema+json').send(JSON.stringify(protocolSchema()));
  });

  router.get('/protocols', async (request, response) => {
    const visitor = await lookerOf(request, response);
    if (!visitor) return;
    const { house, session } = visitor;
    const mayWrite = (await workshopRefusal(house.app, session)) === undefined;
    response.json(await listProtocols(house.app, mayWrite));
  });

  router.get('/protocol-diff', async (request, response) => {
    const visitor = await lookerOf(request, response);
    const query = visitor && readQuery(protocolDiffQuery, request, response);
    if (!query) return;
    const { house, session } = visitor;
    const mayWrite = (await workshopRefusal(house.app, session)) === undefined;
    send(response, await protocolDiff(house.app, query, mayWrite));
  });

  router.get('/drafts/:id', async (request, response) => {
    const visitor = await writerOf(request, response);
    if (visitor) send(response, await lookAtDraft(visitor.house.app, request.params.id));
  });

  router.get('/drafts/:id/check', async (request, response) => {
    const visitor = await writerOf(request, response);
    if (visitor) send(response, await checkDraft(visitor.house.app, request.params.id));
  });

  return router;
};
