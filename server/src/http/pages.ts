import { existsSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import type { Request, RequestHandler } from 'express';
import sirv from 'sirv';
import { earlyFiles } from './early-files.ts';

/** The language of a device that asks for none of ours. */
const FIRST = 'en';

/** The languages that the pages were built in: a folder with a shell each, English first. */
const languagesIn = (directory: string): string[] => {
  if (!existsSync(directory)) return [];
  const found = readdirSync(directory).filter((f) => existsSync(join(directory, f, 'index.html')));
  return found.toSorted((a, b) => Number(b === FIRST) - Number(a === FIRST) || a.localeCompare(b));
};

/** WD-2: the language chosen on this device (a cookie of the pages), else the first that its browser asks for and we have. */
const languageFor = (request: Request, languages: readonly string[]): string => {
  const chosen = /(?:^|;\s*)language=([a-z]{2})(?:;|$)/u.exec(request.headers.cookie ?? '')?.[1];
  if (chosen !== undefined && languages.includes(chosen)) return chosen;
  return request.acceptsLanguages([...languages]) || (languages[0] ?? FIRST);
};

/** One language's files. Without an ETag: the shells of two languages may have the same length and time. */
const filesOf = (directory: string): RequestHandler =>
  sirv(directory, {
    etag: false,
    gzip: true,
    brotli: true,
    single: true,
    setHeaders: (response, path) => {
      const hashed = path.startsWith('/assets/');
      if (!hashed) response.setHeader('Vary', 'Accept-Encoding, Accept-Language, Cookie');
      response.setHeader(
        'Cache-Control',
        hashed ? 'public, max-age=31536000, immutable' : 'no-cache',
      );
    },
  });

/**
 * The pages: hashed files for ever, the shell never cached; every address of the app serves the shell in the reader's
 * language. A page that is open in another language still finds its files. Empty when nothing was built.
 */
export const pages = (directory: string): RequestHandler => {
  const languages = languagesIn(directory);
  const files = new Map(languages.map((l) => [l, filesOf(join(directory, l))]));
  const early = new Map(languages.map((l) => [l, earlyFiles(join(directory, l))]));
  return (request, response, next) => {
    const first = languageFor(request, languages);
    const named = early.get(first)?.(request.path);
    if (named !== undefined) response.setHeader('Link', named);
    const order = [first, ...languages.filter((l) => l !== first)].flatMap(
      (l) => files.get(l) ?? [],
    );
    const tryNext = (at: number): void => {
      const handle = order[at];
      if (handle) void handle(request, response, () => tryNext(at + 1));
      else next();
    };
    tryNext(0);
  };
};
