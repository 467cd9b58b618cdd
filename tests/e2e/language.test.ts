import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { axeViolations } from '../support/axe.ts';
import { launchBrowser, noBrowser } from '../support/chromium.ts';
import { PHONE, picture } from '../support/people.ts';
import { freshDirectory, removeDirectory, startProgram, type Program } from '../support/program.ts';

/** The files of words that a page asked for; every language's have their own names. */
const asked = (page: Page): string[] => {
  const files: string[] = [];
  page.on('request', (request) => {
    const { pathname } = new URL(request.url());
    if (pathname.startsWith('/assets/')) files.push(pathname);
  });
  return files;
};

/** Whether anything on the page stands beyond its side. */
const sideways = (page: Page): Promise<boolean> =>
  page.evaluate(() => document.documentElement.scrollWidth > innerWidth);

describe.skipIf(noBrowser())('the language of the pages', () => {
  let program: Program;
  let browser: Browser;
  beforeAll(async () => {
    program = await startProgram(freshDirectory());
    browser = await launchBrowser();
  });
  afterAll(async () => {
    await browser.close();
    await program.stop();
    removeDirectory(program.directory);
  });
  const open = async (locale: string): Promise<Page> => {
    const context = await browser.newContext({ viewport: PHONE, locale });
    const page = await context.newPage();
    page.setDefaultTimeout(20_000);
    return page;
  };

  test('WD-2: a browser that asks for German gets German and nothing of English', async () => {
    const page = await open('de-AT');
    const files = asked(page);
    await page.goto(`${program.url}/join`);
    await page.getByRole('heading', { name: 'Nehmen Sie Ihren Platz ein' }).waitFor();
    expect(await page.locator('html').getAttribute('lang')).toBe('de');
    const german = await page.evaluate(
      async (paths) =>
        (await Promise.all(paths.map(async (p) => (await fetch(p)).text()))).join('\n'),
      files.filter((f) => f.endsWith('.js')),
    );
    expect(german).toContain('Nehmen Sie Ihren Platz ein');
    expect(german).not.toContain('Take your seat');
    expect(await axeViolations(page)).toEqual([]);
    await picture(page, 'de-01-arrive');
    await page.context().close();
  });

  test('WD-2: the choice of a device wins over its browser, and stays', async () => {
    const page = await open('en-GB');
    await page.goto(`${program.url}/join`);
    await page.getByRole('button', { name: 'Settings' }).click();
    await page.getByLabel('Language').selectOption({ label: 'Deutsch' });
    await page.getByRole('heading', { name: 'Nehmen Sie Ihren Platz ein' }).waitFor();
    await page.goto(`${program.url}/sign-in`);
    await page.getByRole('button', { name: 'Anmelden' }).waitFor();
    await page.getByRole('button', { name: 'Einstellungen' }).click();
    await page.getByLabel('Sprache').waitFor();
    await picture(page, 'de-02-settings');
    expect(await axeViolations(page)).toEqual([]);
    await page.getByLabel('Sprache').selectOption({ label: 'English' });
    await page.getByRole('button', { name: 'Sign in' }).waitFor();
    await page.context().close();
  });

  test('WD-2: what is typed and not sent is asked about before the page is loaded in another language', async () => {
    const page = await open('en-GB');
    await page.goto(`${program.url}/join`);
    const asked: string[] = [];
    let yes = false;
    page.on('dialog', (dialog) => {
      asked.push(dialog.message());
      void (yes ? dialog.accept() : dialog.dismiss());
    });
    const code = page.getByLabel('Code from the moderator');
    await code.fill('ABC');
    await page.getByRole('button', { name: 'Settings' }).click();
    const language = page.getByLabel('Language');
    await language.selectOption({ label: 'Deutsch' });
    expect(asked).toEqual([expect.stringContaining('did not send is lost')]);
    expect(await code.inputValue()).toBe('ABC');
    expect(await language.inputValue()).toBe('en');
    yes = true;
    await language.selectOption({ label: 'Deutsch' });
    await page.getByRole('heading', { name: 'Nehmen Sie Ihren Platz ein' }).waitFor();
    expect(asked).toHaveLength(2);
    // Nothing is typed now, and nothing is asked.
    await page.getByRole('button', { name: 'Einstellungen' }).click();
    await page.getByLabel('Sprache').selectOption({ label: 'English' });
    await page.getByRole('heading', { name: 'Take your seat' }).waitFor();
    expect(asked).toHaveLength(2);
    await page.context().close();
  });

  test('a refusal is said in German, with the sentence of the server marked as English', async () => {
    const page = await open('de-DE');
    await page.goto(`${program.url}/join`);
    await page.getByLabel('Code von der Moderation').fill('ABCDEFGH');
    await page.getByRole('button', { name: 'Weiter' }).click();
    const status = page.getByRole('status').filter({ hasText: 'Dieser Code ist nicht bekannt.' });
    await status.waitFor();
    const english = status.locator('[lang="en"]');
    expect(await english.innerText()).not.toBe('');
    await page.context().close();
  });

  test('long German words break at 360 px and twice the size of text', async () => {
    const page = await open('de-DE');
    await page.setViewportSize({ width: 360, height: 740 });
    for (const path of ['/join', '/sign-in', '/waiting', '/public']) {
      await page.goto(`${program.url}${path}`);
      await page.evaluate(() => document.documentElement.style.setProperty('font-size', '225%'));
      await page.locator('h1, p').first().waitFor();
      expect(await sideways(page), path).toBe(false);
    }
    await page.context().close();
  });
});
