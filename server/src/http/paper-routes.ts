import { MAX_PAPER_BYTES, paperCheckBody, paperImportBody } from '@unhindered/shared-types';
import express, { Router } from 'express';
import type { Houses } from '../flows/houses.ts';
import { checkPaper, importPaper } from '../flows/import-paper.ts';
import { readBody, send } from './answers.ts';
import { memberEvaluation } from './member.ts';

/** Addresses whose body holds a file: it may be longer than any other. */
export const PAPER_PATH = '/evaluations/:id/paper';

/** Reads the body of those addresses; in base64 a file is a third longer. */
export const paperBody = express.json({
  limit: Math.ceil(MAX_PAPER_BYTES * 1.4),
  inflate: false,
  strict: true,
});

const bytesOf = (csv: string): Uint8Array => new Uint8Array(Buffer.from(csv, 'base64'));

/** Ratings from paper: a file is looked at first, and brought in by a second request. For moderators. */
export const paperRoutes = (houses: Houses): Router => {
  const router = Router();

  router.post(`${PAPER_PATH}/check`, async (request, response) => {
    const member = await memberEvaluation(houses, request, response);
    const body = member && readBody(paperCheckBody, request, response);
    if (!body) return;
    send(response, checkPaper(member.app, member.live, member.identity, bytesOf(body.csv)));
  });

  router.post(PAPER_PATH, async (request, response) => {
    const member = await memberEvaluation(houses, request, response);
    const body = member && readBody(paperImportBody, request, response);
    if (!body) return;
    const { app, live, identity } = member;
    const { csv, ...message } = body;
    const answer = await importPaper(app, live, identity, message, bytesOf(csv));
    send(response, answer.ok ? { ok: true, value: answer } : answer);
  });

  return router;
};
