import { registerQuery } from '@unhindered/shared-types';
import { Router } from 'express';
import type { Houses } from '../flows/houses.ts';
import { findInRegister, lookAtSpecimen, registerRefusal } from '../flows/look-register.ts';
import { photoFile } from '../flows/specimen-photos.ts';
import { readQuery, send, sendRejection } from './answers.ts';
import { reader } from './reader.ts';
import { sendFile } from './send-file.ts';

/** The register of specimens: a list to search, and each specimen with its history. Read by every member. */
export const registerRoutes = (houses: Houses): Router => {
  const router = Router();
  const readerOf = reader(houses, registerRefusal);

  router.get('/specimens', async (request, response) => {
    const visitor = await readerOf(request, response);
    const query = visitor && readQuery(registerQuery, request, response);
    if (query) response.json(await findInRegister(visitor.house.app, query));
  });

  router.get('/specimens/:id', async (request, response) => {
    const visitor = await readerOf(request, response);
    if (!visitor) return;
    const { house, session } = visitor;
    send(response, await lookAtSpecimen(house.app, session, request.params.id));
  });

  router.get('/specimens/:id/photos/:photo', async (request, response) => {
    const visitor = await readerOf(request, response);
    if (!visitor) return;
    const { house, session } = visitor;
    const found = await photoFile(house.app, session, request.params.id, request.params.photo);
    if (found.ok) await sendFile(request, response, found.value.file, found.value.type);
    else sendRejection(response, found.rejection);
  });

  return router;
};
