import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { launchBrowser, noBrowser } from '../support/chromium.ts';
import { LAPTOP, person } from '../support/people.ts';
import {
  freshDirectory,
  removeDirectory,
  runProgram,
  startProgram,
  type Program,
} from '../support/program.ts';

/** Words and strokes that would need a colour to print, and what stands beyond the paper, by place. */
const faultsOnPaper = (page: Page): Promise<string[]> =>
  page.evaluate(() => {
    const coloured = (css: string): boolean => {
      const [r = 0, g = 0, b = 0, a = 1] = (css.match(/[\d.]+/gu) ?? []).map(Number);
      return a > 0 && Math.max(r, g, b) - Math.min(r, g, b) > 24;
    };
    const found = new Set<string>();
    for (const e of document.querySelectorAll('body *')) {
      if (!e.checkVisibility()) continue;
      const { color, fill, stroke, borderTopColor, borderTopWidth, backgroundColor } =
        getComputedStyle(e);
      const place = [e.tagName, ...e.classList].join('.');
      const drawn = e instanceof SVGElement ? [fill, stroke] : [];
      const says = [...e.childNodes].some((n) => n.nodeType === 3 && n.textContent?.trim() !== '');
      const inks = [...(says ? [color] : []), ...drawn, backgroundColor];
      if (borderTopWidth !== '0px') inks.push(borderTopColor);
      if (inks.filter((c) => c.startsWith('rgb')).some(coloured)) found.add(`coloured: ${place}`);
    }
    const over = document.documentElement.scrollWidth - innerWidth;
    return over > 0 ? [...found, `wider than the paper by ${String(over)} px`] : [...found];
  });

/** The printable width of each paper with margins of 15 mm, px at 96 to the inch. */
const PAPERS = { A4: 680, Letter: 702 } as const;

describe.skipIf(noBrowser())('what is printed from the screens', () => {
  const directory = freshDirectory();
  let program: Program;
  let browser: Browser;
  let page: Page;
  const ways: [name: string, path: string, sign: string][] = [];

  beforeAll(async () => {
    const made = await runProgram(['demo', '--data-dir', directory]);
    expect(made.code, made.err).toBe(0);
    program = await startProgram(directory, 0, {}, ['--new-sign-in-link']);
    browser = await launchBrowser();
    page = (await person(browser, LAPTOP)).page;
    await page.goto(program.signInLink ?? '');
    await page.getByRole('button', { name: 'Sign in' }).click();
    await page.getByText('Autumn 2025 (invented)').waitFor();
    await page.goto(`${program.url}/catalogue`);
    for (const [name, link, sign] of [
      ['record', /^Record/u, '[data-testid="verdict"]'],
      ['care card', /^Care card/u, '[data-testid="care-card"]'],
    ] as const) {
      const way = page.getByRole('link', { name: link }).nth(2);
      ways.push([name, (await way.getAttribute('href')) ?? '', sign]);
    }
    ways.push(['catalogue', '/catalogue', 'table tbody tr']);
  });
  afterAll(async () => {
    await browser.close();
    await program.stop();
    removeDirectory(directory);
  });

  test('PT-1: record, care card and catalogue print in black only, on A4 and on Letter, nothing cut off', async () => {
    for (const [name, path, sign] of ways) {
      await page.goto(`${program.url}${path}`);
      await page.locator(sign).first().waitFor();
      // Also from a device in a dark room: pale words on white paper cannot be read.
      await page.evaluate(() => (document.documentElement.dataset['mode'] = 'night'));
      await page.emulateMedia({ media: 'print' });
      expect(
        await page
          .locator('h1')
          .first()
          .evaluate((e) => getComputedStyle(e).color),
      ).toBe('rgb(0, 0, 0)');
      // A heading or caption at the foot of a page, without what it announces, is lost; tools run on in a line each its own.
      const torn = await page
        .locator('h2, h3, caption')
        .evaluateAll((all) => all.filter((e) => getComputedStyle(e).breakAfter !== 'avoid').length);
      expect(torn, name).toBe(0);
      const ends = await page
        .locator('.tools li:not(:last-child)')
        .evaluateAll((all) => all.map((e) => getComputedStyle(e, '::after').content));
      expect(
        ends.filter((end) => end !== '". "'),
        name,
      ).toEqual([]);
      for (const [format, width] of Object.entries(PAPERS)) {
        await page.setViewportSize({ width, height: 1000 });
        expect(await faultsOnPaper(page), `${name} on ${format}`).toEqual([]);
        const pdf = await page.pdf({ format, margin: { left: '15mm', right: '15mm' } });
        expect(pdf.subarray(0, 5).toString()).toBe('%PDF-');
      }
      await page.emulateMedia({ media: null });
      await page.setViewportSize(LAPTOP);
    }
  });
});
