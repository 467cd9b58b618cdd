import { isUtf8 } from 'node:buffer';
import { reject, type RejectionCode } from '@unhindered/shared-types';
import express, { type ErrorRequestHandler, type Express, type RequestHandler } from 'express';
import type { App } from '../flows/app.ts';
import { oneHouse, type Houses } from '../flows/houses.ts';
import type { Tickets } from '../flows/tickets.ts';
import type { Log } from '../ports/log.ts';
import { noMeter, type Meter } from '../ports/meter.ts';
import { NotKept } from '../ports/not-kept.ts';
import { accessRoutes } from './access-routes.ts';
import { firstLookRoutes } from './first-look-routes.ts';
import { sendRejection } from './answers.ts';
import { permissions, securityHeaders } from './headers.ts';
import { mediaRoutes } from './media-routes.ts';
import { materialRoutes } from './material-routes.ts';
import { catalogueRoutes } from './catalogue-routes.ts';
import { ladderRoutes } from './ladder-routes.ts';
import { plannerRoutes } from './planner-routes.ts';
import { learnRoutes } from './learn-routes.ts';
import { registerRoutes } from './register-routes.ts';
import { SERIES_PATH, seriesRoutes } from './series-routes.ts';
import { recordRoutes } from './record-routes.ts';
import { PAPER_PATH, paperBody, paperRoutes } from './paper-routes.ts';
import { healthRoutes } from './health-routes.ts';
import { pages } from './pages.ts';
import { hostAllowed, originAllowed, type HostRule } from './origin.ts';
import { isAttempt, RefusalLog } from './refusal-log.ts';
import { workshopCommandRoutes, workshopRoutes } from './workshop-routes.ts';

/** What the operator's side of this process tells and hears. */
export interface Service {
  meter: Meter;
  /** It was told to stop, and finishes what is under way. */
  leaving: () => boolean;
  /** Whether notices reach other servers; null where none are carried. */
  bus: () => 'connected' | 'cut' | null;
  /** Whether the store answers at this moment. */
  reached: () => Promise<boolean>;
}

/** The pattern of the route that answered; addresses carry ids and secrets. */
const patternOf = ({ route }: { route?: unknown }): string | undefined => {
  const { path } = (route ?? {}) as { path?: unknown };
  return typeof path === 'string' ? path : undefined;
};

/** Tells the meter of every request once it is answered. */
const measured =
  (meter: Meter): RequestHandler =>
  (request, response, next) => {
    const start = performance.now();
    response.on('finish', () => {
      const route = patternOf(request) ?? 'pages';
      meter.answered(`${request.method} ${route}`, response.statusCode, performance.now() - start);
    });
    next();
  };

/** Puts refused attempts on the running log once they are answered, under the route's own pattern. */
const noteRefusals =
  (refusals: RefusalLog): RequestHandler =>
  (request, response, next) => {
    response.on('finish', () => {
      const code = response.locals['refused'] as RejectionCode | undefined;
      if (code === undefined || !isAttempt(code)) return;
      const asked = `${request.method} ${patternOf(request) ?? 'another address'}`;
      refusals.note({ door: 'http', asked, code, cookie: request.headers.cookie });
    });
    next();
  };

/**
 * TX-3: a body is UTF-8, whatever it says of itself: bytes that are none would otherwise be read as replacement
 * characters and kept as if somebody had typed them.
 */
const onlyUtf8 = (_request: unknown, _response: unknown, bytes: Buffer): void => {
  if (!isUtf8(bytes)) throw Object.assign(new Error('not UTF-8'), { status: 400 });
};

const notThere = reject('unknown-thing', 'There is nothing at this address.');

/** A series alone comes as it is, in a type that no form can send either. */
const typeOf = (path: string): string => (SERIES_PATH.test(path) ? 'text/csv' : 'application/json');

/** AC-6: a change comes as JSON from this server's own pages; a form of another origin can send neither. */
const changesAreOurs =
  (rule: HostRule): RequestHandler =>
  (request, response, next) => {
    if (request.method === 'GET' || request.method === 'HEAD') next();
    else if (!originAllowed(request, rule)) {
      sendRejection(response, reject('role-may-not', 'This request comes from another site.'));
    } else if (request.headers['content-type'] !== typeOf(request.path)) {
      sendRejection(response, reject('bad-input', `Send ${typeOf(request.path)}.`));
    } else next();
  };

const failure =
  (log: Log): ErrorRequestHandler =>
  (error: unknown, _request, response, next) => {
    if (response.headersSent) {
      next(error);
      return;
    }
    const status =
      typeof error === 'object' && error !== null && 'status' in error ? error.status : 500;
    if (typeof status === 'number' && status >= 400 && status < 500) {
      response.status(status).json({ error: reject('bad-input', 'The request cannot be read.') });
      return;
    }
    if (error instanceof NotKept) {
      sendRejection(response, reject('try-again', error.message));
      return;
    }
    log.error('a request could not be handled', error);
    sendRejection(response, reject('try-again', 'The server could not do this. Try again.'));
  };

/**
 * The HTTP side: health, the JSON interface under /api, and the pages. `app` answers where no organisation is known,
 * `houses` holds them all.
 */
export const httpApp = (
  app: App,
  tickets: Tickets,
  rule: HostRule,
  webDirectory: string,
  log: Log,
  houses: Houses = oneHouse({ app, tickets }),
  service: Service = {
    meter: noMeter,
    leaving: () => false,
    bus: () => null,
    reached: () => Promise.resolve(true),
  },
): Express => {
  const web = express();
  web.disable('x-powered-by');
  web.use(securityHeaders(), permissions);
  web.use(healthRoutes(app, service), measured(service.meter));
  web.use((request, response, next) => {
    if (hostAllowed(request.headers.host, rule)) next();
    else sendRejection(response, reject('role-may-not', 'This server has another name.'));
  });
  const api = express.Router();
  api.use((_request, response, next) => {
    response.set('Cache-Control', 'no-store');
    next();
  });
  api.use(noteRefusals(new RefusalLog(log, app.timers)));
  api.use(mediaRoutes(houses, rule));
  api.use(changesAreOurs(rule));
  api.use(workshopCommandRoutes(houses, onlyUtf8));
  api.use([PAPER_PATH, `${PAPER_PATH}/check`], paperBody);
  api.use(express.json({ limit: '64kb', inflate: false, strict: true, verify: onlyUtf8 }));
  api.use(
    accessRoutes(app, houses),
    firstLookRoutes(app, houses),
    materialRoutes(houses),
    recordRoutes(houses),
    catalogueRoutes(houses),
    ladderRoutes(houses),
    plannerRoutes(houses),
    registerRoutes(houses),
    seriesRoutes(houses),
    workshopRoutes(houses),
    paperRoutes(houses),
    learnRoutes(houses),
  );
  api.use((_request, response) => {
    sendRejection(response, notThere);
  });
  web.use('/api', api);
  web.use(pages(webDirectory));
  web.use((_request, response) => {
    sendRejection(response, notThere);
  });
  web.use(failure(log));
  return web;
};
