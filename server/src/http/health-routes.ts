import { Router } from 'express';
import { whyReadOnly, type App } from '../flows/app.ts';

/**
 * What the process itself says: that it is about to stop, whether notices reach others (null: none are carried), and
 * whether the store answers.
 */
interface Standing {
  leaving: () => boolean;
  bus: () => 'connected' | 'cut' | null;
  reached: () => Promise<boolean>;
}

const AWAY = 'The store does not answer.';

/**
 * OP-2: two questions. `/healthz`: does this process work, or should it be started again? `/readyz`: should a load
 * balancer send people here? Not while the store takes nothing, and not from the moment it was told to stop.
 * OP-4: where notices to other servers are carried, `bus` says whether they are: a server that is cut off from them works
 * on, and others see its changes late.
 * OP-6: `/readyz` asks a store that is elsewhere, and says no while it does not answer; `/healthz` does not, for to start
 * the process again would bring nothing back.
 */
export const healthRoutes = (app: App, { leaving, bus, reached }: Standing): Router => {
  const router = Router();
  router.use(['/healthz', '/readyz'], (_request, response, next) => {
    response.set('Cache-Control', 'no-store');
    next();
  });
  router.get('/healthz', (_request, response) => {
    const trouble = app.store.trouble();
    response.status(trouble === null ? 200 : 503);
    const readOnly = whyReadOnly(app);
    const passing = trouble !== null && readOnly === null ? { trouble } : {};
    const carried = bus();
    const notices = carried === null ? {} : { bus: carried };
    response.json({ ok: trouble === null, readOnly, ...passing, ...notices });
  });
  router.get('/readyz', async (_request, response) => {
    const here = leaving() ? 'This server is about to stop.' : app.store.trouble();
    const why = here ?? ((await reached()) ? null : AWAY);
    response.status(why === null ? 200 : 503).json({ ready: why === null, why });
  });
  return router;
};
