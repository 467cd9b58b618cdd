import helmet from 'helmet';
import type { RequestHandler } from 'express';

/**
 * AC-11: headers of every answer. Scripts, styles and connections come from this server alone; nobody may frame it.
 * HSTS and upgrading are left out: a lab server without TLS must stay reachable.
 */
export const securityHeaders = (): RequestHandler =>
  helmet({
    contentSecurityPolicy: {
      useDefaults: false,
      directives: {
        defaultSrc: ["'none'"],
        scriptSrc: ["'self'"],
        styleSrc: ["'self'"],
        imgSrc: ["'self'", 'data:', 'blob:'],
        mediaSrc: ["'self'", 'blob:'],
        fontSrc: ["'self'"],
        connectSrc: ["'self'"],
        manifestSrc: ["'self'"],
        workerSrc: ["'self'"],
        baseUri: ["'none'"],
        formAction: ["'none'"],
        frameAncestors: ["'none'"],
        objectSrc: ["'none'"],
      },
    },
    strictTransportSecurity: false,
    crossOriginOpenerPolicy: { policy: 'same-origin' },
    crossOriginResourcePolicy: { policy: 'same-origin' },
    referrerPolicy: { policy: 'no-referrer' },
    originAgentCluster: false,
  });

/** Browser features that this application asks for; everything else is off. */
export const permissions: RequestHandler = (_request, response, next) => {
  response.set(
    'Permissions-Policy',
    'camera=(self), screen-wake-lock=(self), microphone=(), geolocation=()',
  );
  next();
};
