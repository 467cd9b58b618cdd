import { reject } from '@unhindered/shared-types';
import { Router } from 'express';
import * as v from 'valibot';
import { ENTERS_TRIALS } from '../evaluation/bench.ts';
import type { Houses } from '../flows/houses.ts';
import { misread, send, sendRejection } from './answers.ts';
import { memberEvaluation } from './member.ts';
import { seriesQuestion } from '../measures/series-question.ts';

/** The address that takes a file instead of JSON. */
export const SERIES_PATH = /^\/evaluations\/[^/]+\/series$/u;

/**
 * Motion and manikin files, read for those who work on the bench. Nothing of a file is kept: the answer is its hash,
 * its figures, or every fault by line and column.
 *
 * SR-1: only who enters trials has a file read, in an evaluation of their own panel, until its lock.
 */
export const seriesRoutes = (houses: Houses): Router => {
  const router = Router();

  router.post('/evaluations/:id/series', async (request, response) => {
    const member = await memberEvaluation(houses, request, response);
    if (!member) return;
    const { app, live, identity } = member;
    const seat = live.state.seats.get(identity.seat);
    if (!seat || seat.revoked || !ENTERS_TRIALS.includes(seat.role)) {
      sendRejection(response, reject('role-may-not', 'Your role enters no trials.'));
      return;
    }
    if (live.state.locked) {
      sendRejection(response, reject('read-only', 'The evaluation is locked.'));
      return;
    }
    const asked = v.safeParse(seriesQuestion, request.query['as']);
    if (!asked.success) {
      sendRejection(response, misread(asked.issues, '"as"'));
      return;
    }
    const pieces = request as AsyncIterable<Uint8Array>;
    const read = await app.series.read(asked.output, pieces).catch(() => undefined);
    // Who sent it went away: there is nobody to answer.
    if (!read) return;
    send(response, read);
  });

  return router;
};
