import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { Camera, complaint, watched } from '../pictures/camera.ts';
import { door } from '../pictures/chapters/door.ts';
import { shelf } from '../pictures/chapters/shelf.ts';
import { pairwiseModes, type Mode } from '../pictures/modes.ts';
import { playChapter } from '../pictures/stage.ts';
import { tongueOf } from '../pictures/tongue.ts';
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

  test('WD-8: English that is left on a German page is told, what is in another language or was typed is not', async () => {
    const { speaks, locale } = await tongueOf('de');
    const { page, listen } = speaks(await person(browser, LAPTOP, locale));
    await page.setContent(
      `<html lang="de"><title>x</title><main><h1>Pult</h1><p>Enter the trial</p><p>Open with 2 of 5 finished</p>
      <button aria-label="Lock the evaluation">x</button><input id="own" placeholder="Your name, as its moderator">
      <p>Nobody knows which of the files it is.</p><p lang="en">Enter the trial</p><p>Versuch eintragen</p><p>Strap of the chin is worn.</p></main>`,
    );
    await page.getByPlaceholder('Your name, as its moderator').fill('Strap of the chin is worn.');
    expect(await listen?.()).toEqual([
      'English: Enter the trial (in the catalogue: Versuch eintragen)',
      'English: Open with 2 of 5 finished (in the catalogue: Open with §1§ of §2§ finished)',
      'English: Lock the evaluation (in the catalogue: Begutachtung abschließen)',
      'English: Your name, as its moderator (in the catalogue: Ihr Name, als Moderation)',
      'an English sentence: Nobody knows which of the files it is.',
    ]);
    await page.context().close();
  });

  for (const chapter of [door, shelf])
    test(`${chapter.name}: nothing scrolls sideways, axe finds nothing, the console is silent`, async () => {
      const camera = new Camera(null, short);
      await playChapter(browser, camera, chapter);
      expect(camera.looks.length).toBeGreaterThan(30);
      expect(camera.looks.flatMap(complaint)).toEqual([]);
    });
});
