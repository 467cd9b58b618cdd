import { reject } from '@unhindered/shared-types';
import { Router } from 'express';
import { protocolKey, type App } from '../flows/app.ts';
import { exportBundle } from '../flows/export-bundle.ts';
import { sessionOf } from '../flows/sessions.ts';
import { sendRejection } from './answers.ts';
import { memberEvaluation } from './member.ts';
import { cookieToken } from './origin.ts';

/** Protocols and bundles: what members read. */
export const materialRoutes = (app: App): Router => {
  const router = Router();

  router.get('/protocols/:id/:version', async (request, response) => {
    const session = await sessionOf(app, cookieToken(request.headers.cookie));
    if (session?.arrival !== 'admitted') {
      sendRejection(response, reject('not-signed-in', 'Sign in or join first.'));
      return;
    }
    const found = app.protocols.get(protocolKey(request.params));
    if (!found) {
      sendRejection(response, reject('unknown-thing', 'There is no such protocol version.'));
      return;
    }
    // A published version never changes.
    response.set('Cache-Control', 'private, max-age=31536000, immutable');
    response.type('application/json').send(found.text);
  });

  router.get('/evaluations/:id/bundle', async (request, response) => {
    const live = await memberEvaluation(app, request, response);
    if (!live) return;
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
