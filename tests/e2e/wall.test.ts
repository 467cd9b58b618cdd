import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { SeatClient } from '../../server/src/rehearse/seat-client.ts';
import { buildWorld } from '../bench/suite/world.ts';
import { axeViolations } from '../support/axe.ts';
import { launchBrowser, noBrowser } from '../support/chromium.ts';
import { HD, person, picture, takeByLink } from '../support/people.ts';
import { freshDirectory, removeDirectory, startProgram, type Program } from '../support/program.ts';
import { readDrawnQr } from '../support/read-qr.ts';
import { SPECIMEN } from '../support/specimen.ts';

/**
 * WA-1: 16 minutes of arc, the least height of capitals that ISO 9241-303 gives for reading, at 6 m, in px of a
 * 16:9 screen of 65 inches (809 mm high) with 1080 lines: 27.9 mm, 37.3 px.
 */
const LEAST = (6000 * 2 * Math.tan((16 / 60 / 2) * (Math.PI / 180)) * 1080) / 809;

/** The lowest capital on the screen, px, with what it stands in. */
const lowestCapital = (page: Page): Promise<[number, string]> =>
  page.evaluate(() => {
    const pen = document.createElement('canvas').getContext('2d');
    let least: [number, string] = [Infinity, ''];
    const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    for (let node = walk.nextNode(); node && pen; node = walk.nextNode()) {
      const said = node.textContent?.trim() ?? '';
      const element = node.parentElement;
      if (said === '' || !element?.checkVisibility() || element.closest('.only-read')) continue;
      const svg = element.closest('svg');
      const box = svg?.getBoundingClientRect();
      const drawn = svg?.viewBox.baseVal;
      const scale = box && drawn ? Math.min(box.width / drawn.width, box.height / drawn.height) : 1;
      const { fontWeight, fontSize, fontFamily } = getComputedStyle(element);
      pen.font = `${fontWeight} ${fontSize} ${fontFamily}`;
      const height = pen.measureText('H').actualBoundingBoxAscent * scale;
      if (height < least[0]) least = [height, said];
    }
    return least;
  });

/** Nobody is there to scroll. */
const over = (page: Page): Promise<number> =>
  page.evaluate(() => document.documentElement.scrollHeight - innerHeight);

describe.skipIf(noBrowser())('the wall, with nobody at it', () => {
  let program: Program;
  let browser: Browser;
  let wall: Page;
  let moderator: SeatClient;
  let evaluation = '';
  let cookie = '';
  const readable = async (): Promise<void> => {
    await wall.evaluate(() => document.fonts.ready);
    const [height, said] = await lowestCapital(wall);
    expect(height, said).toBeGreaterThanOrEqual(LEAST);
    expect(await over(wall)).toBeLessThanOrEqual(0);
    expect(await axeViolations(wall)).toEqual([]);
  };
  const lead = async (): Promise<SeatClient> => {
    const client = new SeatClient(program.url, cookie);
    await client.watch(evaluation);
    return client;
  };

  beforeAll(async () => {
    const directory = freshDirectory();
    const plan = { panels: 1, sealed: 1, reviewers: 12, prefilled: 30, devices: 1 };
    const panel = (await buildWorld(directory, plan)).panels[0];
    evaluation = panel?.sealed[0]?.id ?? '';
    cookie = panel?.moderator ?? '';
    program = await startProgram(directory);
    browser = await launchBrowser();
    moderator = await lead();
    const way = { role: 'wall', label: '', by: 'link', until: null, seat: null } as const;
    const made = await moderator.onPanel(panel?.id ?? '', { type: 'invite', ...way });
    if (made?.kind !== 'invitation') throw new Error('no invitation');
    wall = (await person(browser, HD)).page;
    await takeByLink(wall, `${program.url}/join#${made.secret}`, '');
  });
  afterAll(async () => {
    moderator.close();
    await browser.close();
    await program.stop();
    removeDirectory(program.directory);
  });

  test('WA-1 WA-2: sealed, it is read from 6 m, and its code leads to the way in', async () => {
    await wall.getByText(/^Rating, sealed/u).waitFor();
    const code = wall.getByTestId('wall-code').getByRole('img');
    await code.waitFor();
    expect(await readDrawnQr(code)).toBe(`${program.url}/join`);
    await moderator.onEvaluation({ type: 'present-task', task: 'tracheal-intubation' });
    await wall.getByRole('heading', { name: /intubation/u }).waitFor();
    await picture(wall, 'wall-sealed-12');
    await readable();
    // Nothing of a rating, and no letter for who is ahead.
    expect(await wall.locator('.strip').count()).toBe(0);
  });

  test('WA-1: opened by twelve, every letter stands on the screen and can be read', async () => {
    await moderator.onEvaluation({ type: 'open-round', withMissing: true });
    await wall.locator('.strip svg').waitFor();
    expect(await wall.locator('.strip svg g').count()).toBe(12);
    await picture(wall, 'wall-opened-12');
    await readable();
  });

  test('WA-3: it says that the link is gone, and goes on by itself with a server that was started anew', async () => {
    const { directory } = program;
    const port = Number(new URL(program.url).port);
    await program.stop();
    moderator.close();
    await wall.getByText(/^No link to the server/u).waitFor();
    program = await startProgram(directory, port);
    moderator = await lead();
    const settle = { type: 'settle-task', how: 'adopt', value: null, reason: null } as const;
    await moderator.onEvaluation({ ...settle, task: 'tracheal-intubation' });
    await wall.getByText(/^Settled at the median/u).waitFor();
    expect(await wall.getByText(/^No link to the server/u).count()).toBe(0);
  });

  test('WA-3: against burn-in the picture stands elsewhere ten minutes later, and still fits', async () => {
    const place = (): Promise<string> =>
      wall.locator('h1').evaluate((e) => {
        const { x, y } = e.getBoundingClientRect();
        return `${String(x)} ${String(y)}`;
      });
    const at = async (minute: number): Promise<void> => {
      await wall.clock.setFixedTime(new Date(Date.UTC(2026, 10, 26, 12, minute)));
      const shown = new RegExp(`:${String(minute).padStart(2, '0')}\\b`, 'u');
      await wall.locator('header p', { hasText: shown }).waitFor();
    };
    const places = new Set<string>();
    // From the time of this machine to one of the test's own first: its place could be one of the five.
    for (const minute of [55, 0, 10, 20, 30, 40]) {
      await at(minute);
      if (minute < 55) places.add(await place());
      expect(await over(wall)).toBeLessThanOrEqual(0);
    }
    expect(places.size).toBe(5);
  });

  test('WA-4: it stays with what is being settled, and goes on when the next one is rated', async () => {
    const at = (): string => new URL(wall.url()).pathname;
    const title = 'The next piece (invented)';
    const protocol = { id: 'emergency-access', version: '1.0.0' };
    const panel = moderator.view.head?.panel ?? '';
    const command = { type: 'create-evaluation', title, specimen: SPECIMEN, protocol } as const;
    const made = await moderator.onPanel(panel, command);
    if (made?.kind !== 'evaluation') throw new Error('no evaluation');
    // What is said after it was made, and shown: by then the wall has heard of it.
    await moderator.onEvaluation({ type: 'present-task', task: 'airway-open' });
    await wall.getByRole('heading', { name: 'Opening the airway' }).waitFor();
    expect(at()).toContain(evaluation);
    await moderator.watch(made.evaluation);
    await moderator.onEvaluation({ type: 'start-round' });
    await expect.poll(at).toBe(`/evaluation/${made.evaluation}/wall`);
    await wall.getByText(/^Rating, sealed/u).waitFor();
  });
});
