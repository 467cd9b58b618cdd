import type { Browser, BrowserContext, Page } from 'playwright-core';
import { PHONE } from '../../support/people.ts';

/** A device that has never been here: what it paints and takes is noted from the first moment of each page. */
export interface Device {
  page: Page;
  context: BrowserContext;
}

interface Notes {
  /** When the wanted element was first there, milliseconds since the address was entered. */
  there: number | null;
  /** From each press to the next painted frame, milliseconds in steps of eight. */
  presses: { name: string; ms: number }[];
  /** Stretches without a turn longer than 50 ms. */
  long: number[];
}

/** Runs in the page. Looks once a frame, so that an element counts when it can be seen. */
const takeNotes = (wanted: string): void => {
  const notes: Notes = { there: null, presses: [], long: [] };
  (globalThis as unknown as { notes: Notes }).notes = notes;
  const look = (): void => {
    if (document.querySelector(wanted)) notes.there ??= performance.now();
    else requestAnimationFrame(look);
  };
  requestAnimationFrame(look);
  const observe = (type: string, take: (entry: PerformanceEntry) => void, more = {}): void => {
    const observer = new PerformanceObserver((list) => list.getEntries().forEach(take));
    observer.observe({ type, buffered: true, ...more });
  };
  observe('longtask', (e) => notes.long.push(e.duration));
  observe(
    'event',
    (e) => {
      if (/^(?:click|keydown|keyup|pointerup)$/u.test(e.name))
        notes.presses.push({ name: e.name, ms: e.duration });
    },
    { durationThreshold: 16 },
  );
};

export interface DevicePlan {
  url: string;
  /** The session, as `name=value`; undefined for somebody who is not signed in. */
  cookie?: string;
  /** How many times slower than this machine. */
  cpu: number;
  viewport?: { width: number; height: number };
  /** What has to be there before the screen counts as usable. */
  wanted: string;
}

export const openDevice = async (browser: Browser, plan: DevicePlan): Promise<Device> => {
  const { url, cookie, cpu, viewport = PHONE, wanted } = plan;
  const context = await browser.newContext({ viewport, locale: 'en-GB' });
  if (cookie !== undefined) {
    const [name = '', value = ''] = cookie.split('=');
    await context.addCookies([{ name, value, url }]);
  }
  const page = await context.newPage();
  page.setDefaultTimeout(60_000);
  // The runner of this file gives functions their names by a function of its own, which no page has.
  await page.addInitScript('globalThis.__name ??= (f) => f');
  await page.addInitScript(takeNotes, wanted);
  const cdp = await context.newCDPSession(page);
  await cdp.send('Emulation.setCPUThrottlingRate', { rate: cpu });
  return { page, context };
};

/** How long from the address to the first paint, and to the wanted element, milliseconds. */
export const arrivalTimes = async (
  page: Page,
  address: string,
  wanted: string,
): Promise<{ paint: number; usable: number }> => {
  await page.goto(address, { waitUntil: 'commit' });
  await page.locator(wanted).first().waitFor({ state: 'attached' });
  await page.evaluate(() => new Promise(requestAnimationFrame));
  return page.evaluate(() => {
    const paint = performance.getEntriesByName('first-contentful-paint')[0]?.startTime ?? NaN;
    return { paint, usable: (globalThis as unknown as { notes: Notes }).notes.there ?? NaN };
  });
};

/** When the wanted element was first there, milliseconds on the clock of `performance.timeOrigin`. */
export const whenThere = (page: Page): Promise<number> =>
  page.evaluate(
    () => performance.timeOrigin + ((globalThis as unknown as { notes: Notes }).notes.there ?? NaN),
  );

/** The longest time from a press to its painted frame in each of `acts`, and the longest task meanwhile, milliseconds. */
export const pressTimes = async (
  page: Page,
  acts: (() => Promise<void>)[],
): Promise<{ presses: number[]; longest: number }> => {
  const presses: number[] = [];
  let longest = 0;
  for (const act of acts) {
    await page.evaluate(() => {
      const { notes } = globalThis as unknown as { notes: Notes };
      notes.presses = [];
      notes.long = [];
    });
    await act();
    // Two frames and a turn: what the press painted is then on the list.
    const seen = await page.evaluate(
      () =>
        new Promise<Notes>((resolve) => {
          requestAnimationFrame(() =>
            requestAnimationFrame(() =>
              setTimeout(() => resolve((globalThis as unknown as { notes: Notes }).notes), 100),
            ),
          );
        }),
    );
    // Shorter than the browser tells: two of its frames at most.
    presses.push(Math.max(16, ...seen.presses.map((p) => p.ms)));
    longest = Math.max(longest, ...seen.long);
  }
  return { presses, longest };
};
