import { gzipSync } from 'node:zlib';
import { reject } from '@unhindered/shared-types';
import { Router, type Request, type Response } from 'express';
import { protocolKey, protocolOf, type Published } from '../flows/app.ts';
import { exportBundle } from '../flows/export-bundle.ts';
import type { Houses } from '../flows/houses.ts';
import { learnProtocols } from '../flows/published-protocols.ts';
import { sendRejection } from './answers.ts';
import { memberEvaluation, resultReader } from './member.ts';
import { cookieToken } from './origin.ts';

/** A published version never changes: packed once, at a quarter of its size. */
const packed = new WeakMap<Published, Buffer>();

const pack = (published: Published): Buffer => {
  const before = packed.get(published);
  if (before) return before;
  const now = gzipSync(published.text, { level: 9 });
  packed.set(published, now);
  return now;
};

const sendProtocol = (request: Request, response: Response, published: Published): void => {
  response.set('Cache-Control', 'private, max-age=31536000, immutable');
  response.vary('Accept-Encoding').type('application/json');
  if (request.acceptsEncodings('gzip') === 'gzip')
    response.set('Content-Encoding', 'gzip').send(pack(published));
  else response.send(published.text);
};

/** Protocols, by name or as that of an evaluation, and bundles: what members read. */
export const materialRoutes = (houses: Houses): Router => {
  const router = Router();

  router.get('/protocols/:id/:version', async (request, response) => {
    const visitor = await houses.bySession(cookieToken(request.headers.cookie));
    if (visitor?.session.arrival !== 'admitted') {
      sendRejection(response, reject('not-signed-in', 'Sign in or join first.'));
      return;
    }
    const { app } = visitor.house;
    const key = protocolKey(request.params);
    if (app.shared && !app.protocols.has(key)) await learnProtocols(app);
    const found = app.protocols.get(key);
    if (!found) {
      sendRejection(response, reject('unknown-thing', 'There is no such protocol version.'));
      return;
    }
    sendProtocol(request, response, found);
  });

  router.get('/evaluations/:id/protocol', async (request, response) => {
    const member = await memberEvaluation(houses, request, response);
    if (member) sendProtocol(request, response, protocolOf(member.app, member.live.state));
  });

  router.get('/evaluations/:id/bundle', async (request, response) => {
    const member = await resultReader(houses, request, response);
    if (!member) return;
    const { app, live } = member;
    const bundle = await exportBundle(app, live);
    if (!bundle.ok) {
      sendRejection(response, bundle.rejection);
      return;
    }
    response.attachment(`${live.id}.unhindered.json`);
    response.type('application/json').send(Buffer.from(bundle.value));
  });

  return router;
};
