import { reject } from '@unhindered/shared-types';
import { Router, type Request, type Response } from 'express';
import type { Houses } from '../flows/houses.ts';
import { readRecord } from '../flows/read-record.ts';
import type { RecordForm } from '../flows/records.ts';
import { sendRejection } from './answers.ts';
import { resultReader } from './member.ts';

interface Sent {
  type: string;
  /** Name of the file; null for what a screen reads. */
  file: ((evaluation: string) => string) | null;
}

const send = async (
  houses: Houses,
  request: Request<{ id: string }>,
  response: Response,
  form: RecordForm,
  sent: Sent,
): Promise<void> => {
  const member = await resultReader(houses, request, response);
  if (!member) return;
  const { app, live } = member;
  const made = await readRecord(app, live, form, request.query['names'] === 'yes');
  if (!made.ok) {
    sendRejection(response, made.rejection);
    return;
  }
  if (sent.file) response.attachment(sent.file(live.id));
  response.type(sent.type).send(Buffer.from(made.value));
};

/** The record of a locked evaluation for members of its panel: for the screen, printed, and as open data. */
export const recordRoutes = (houses: Houses): Router => {
  const router = Router();

  router.get('/evaluations/:id/record', (request, response) =>
    send(houses, request, response, { form: 'document' }, { type: 'application/json', file: null }),
  );

  router.get('/evaluations/:id/report', async (request, response) => {
    const paper = request.query['paper'] ?? 'a4';
    if (paper !== 'a4' && paper !== 'letter') {
      sendRejection(response, reject('bad-input', '"paper" is a4 or letter.', { place: 'paper' }));
      return;
    }
    await send(
      houses,
      request,
      response,
      { form: 'paper', paper },
      { type: 'application/pdf', file: (id) => `${id}-record-${paper}.pdf` },
    );
  });

  router.get('/evaluations/:id/data/:file', (request, response) =>
    send(
      houses,
      request,
      response,
      { form: 'data', file: request.params.file },
      { type: 'text/csv; charset=utf-8', file: (id) => `${id}-${request.params.file}` },
    ),
  );

  return router;
};
