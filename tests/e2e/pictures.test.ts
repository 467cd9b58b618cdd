import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { Camera, complaint, watched } from '../pictures/camera.ts';
import { door } from '../pictures/chapters/door.ts';
import { shelf } from '../pictures/chapters/shelf.ts';
import { pairwiseModes, type Mode } from '../pictures/modes.ts';
import { playChapter } from '../pictures/stage.ts';
import { launchBrowser, noBrowser } from '../support/chromium.ts';
import { LAPTOP, person } from '../support/people.ts';

const [worst, ...others] = pairwiseModes();
/** The narrowest screen with the largest text for every screen, and one more mode in turn. */
const short = (nth: number): Mode[] => [worst, others[nth % others.length]].flatMap((m) => m ?? []);

describe.skipIf(noBrowser())('screens in pairs of modes; `npm run pictures` walks them all', () => {
  let browser: Browser;
  beforeAll(async () => {
    browser = await launchBrowser();
  });
  afterAll(() => browser.close());

  test('a page that is too wide, pale or noisy is told, by mode', async () => {
    const seat = watched(await person(browser, LAPTOP));
    const camera = new Camera(null, () => (worst ? [worst] : []));
    await seat.page.setContent(
      '<html lang="en"><title>x</title><main><h1>x</h1><p style="width:30rem;color:#eee">Pale and wide</p></main>',
    );
    await seat.page.evaluate("console.error('broken inside')");
    await camera.look(seat, 'planted/faults');
    const told = camera.looks.flatMap(complaint).join('\n');
    expect(told).toContain('planted/faults in 360-light-text200: console: broken inside');
    expect(told).toMatch(/sideways by \d+ px: P "Pale and wide"/u);
    expect(told).toContain('axe: color-contrast at p');
    await seat.page.context().close();
  });

  for (const chapter of [door, shelf])
    test(`${chapter.name}: nothing scrolls sideways, axe finds nothing, the console is silent`, async () => {
      const camera = new Camera(null, short);
      await playChapter(browser, camera, chapter);
      expect(camera.looks.length).toBeGreaterThan(30);
      expect(camera.looks.flatMap(complaint)).toEqual([]);
    });
});
