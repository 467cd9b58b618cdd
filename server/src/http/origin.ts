import type { IncomingMessage } from 'node:http';
import { isIP } from 'node:net';

/** Which hosts this server answers to; others point at it by a name that is not its own. */
export interface HostRule {
  /** Extra host names, as in the address bar, without port. */
  names: readonly string[];
}

const hostName = (host: string): string => host.replace(/:\d+$/u, '').replace(/^\[|\]$/gu, '');

/**
 * AC-2: the Host header names this server: an address, `localhost`, or a configured name. Anything else may be
 * somebody's name pointed at a lab address to read it through a visitor's browser.
 */
export const hostAllowed = (host: string | undefined, rule: HostRule): boolean => {
  if (host === undefined) return false;
  const name = hostName(host).toLowerCase();
  return isIP(name) !== 0 || name === 'localhost' || rule.names.includes(name);
};

/**
 * AC-3: a browser's request comes from this server's own pages. Programs send no Origin and have no cookie of
 * somebody else's to abuse.
 */
export const originAllowed = (request: IncomingMessage, rule: HostRule): boolean => {
  const { host, origin, 'sec-fetch-site': site } = request.headers;
  if (!hostAllowed(host, rule)) return false;
  if (site !== undefined && site !== 'same-origin' && site !== 'none') return false;
  if (origin === undefined) return true;
  try {
    return new URL(origin).host === host;
  } catch {
    return false;
  }
};

/** The session cookie's name. */
export const COOKIE = 'unhindered';

/** The session token of a request's cookie. */
export const cookieToken = (header: string | undefined): string | undefined => {
  for (const part of (header ?? '').split(';')) {
    const [name, value] = part.trim().split('=');
    if (name === COOKIE) return value;
  }
  return undefined;
};
