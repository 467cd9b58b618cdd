import { existsSync } from 'node:fs';
import { chromium, type Browser } from 'playwright-core';

const CANDIDATES = ['/usr/bin/chromium', '/usr/bin/chromium-browser', '/usr/bin/google-chrome'];

/** The browser that the end-to-end tests drive; undefined when there is none. */
export const browserPath = (): string | undefined => {
  const named = process.env['CHROME_PATH'];
  if (named !== undefined) return existsSync(named) ? named : undefined;
  return CANDIDATES.find((path) => existsSync(path));
};

/** Whether a missing browser is a failure instead of a skip. */
export const browserRequired = (): boolean =>
  process.env['REQUIRE_BROWSER'] === '1' || process.env['CI'] === 'true';

/** Says loudly when browser tests are skipped. */
export const noBrowser = (): boolean => {
  if (browserPath() !== undefined || browserRequired()) return false;
  process.stderr.write('BROWSER TESTS SKIPPED: no Chromium or Chrome found (set CHROME_PATH)\n');
  return true;
};

export const launchBrowser = async (): Promise<Browser> => {
  const executablePath = browserPath();
  if (executablePath === undefined)
    throw new Error('no Chromium or Chrome found (set CHROME_PATH)');
  return chromium.launch({
    executablePath,
    args: [
      '--no-sandbox',
      '--disable-gpu',
      '--disable-quic',
      '--no-first-run',
      '--disable-background-networking',
      '--disable-component-update',
      '--disable-sync',
    ],
  });
};
