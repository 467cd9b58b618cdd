import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, onTestFinished, test } from 'vitest';
import { axeViolations } from '../support/axe.ts';
import { launchBrowser, noBrowser } from '../support/chromium.ts';
import { livePanel } from '../support/live-panel.ts';
import { picture, rateStep } from '../support/people.ts';
import { freshDirectory, removeDirectory, startProgram } from '../support/program.ts';
import { releaseProxy } from '../support/release-proxy.ts';

const SMALL = { width: 360, height: 740 };

describe.skipIf(noBrowser())('a sheet on a phone', () => {
  let browser: Browser;
  beforeAll(async () => {
    browser = await launchBrowser();
  });
  afterAll(() => browser.close());

  /** A reviewer's phone that was never here, before a sealed sheet, behind a door that can be shut. */
  const atTheDoor = async (locale = 'en-GB') => {
    const program = await startProgram(freshDirectory());
    onTestFinished(async () => {
      await program.stop();
      removeDirectory(program.directory);
    });
    const p = await livePanel(program.url, program.signInLink ?? '');
    const { client } = await p.join('reviewer', 'Ada');
    await p.moderator.onEvaluation({ type: 'start-round' });
    const door = await releaseProxy(program.url);
    const context = await browser.newContext({ viewport: SMALL, locale });
    onTestFinished(() => context.close());
    const [name = '', value = ''] = client.cookie.split('=');
    await context.addCookies([{ name, value, url: door.url }]);
    const newPage = async (): Promise<Page> => {
      const page = await context.newPage();
      page.setDefaultTimeout(60_000);
      return page;
    };
    return { door, context, newPage, sheet: `${door.url}/evaluation/${p.evaluation}/sheet` };
  };
  const rung = (page: Page, step: number) =>
    page.locator(`input[type="radio"][value="${String(step)}"]`);
  const saveLine = (page: Page) => page.getByTestId('save-line');
  const kept = (page: Page): Promise<string[]> => page.evaluate(() => caches.keys());
  const offlineShell = (page: Page): Promise<string> =>
    page.evaluate(async () => (await (await caches.match('/'))?.text()) ?? '');

  test('is rated on before any socket is open, says so, and sends what was rated once one is', async () => {
    const { door, newPage, sheet } = await atTheDoor();
    door.sockets = false;
    const page = await newPage();
    const asked: string[] = [];
    page.on('request', (request) => asked.push(new URL(request.url()).pathname));
    await page.goto(sheet);
    await rateStep(page, 4);
    await saveLine(page).getByText('Kept on this device, waiting for the server: 1 task').waitFor();
    await page.getByText('No link to the server. It comes back by itself.').waitFor();
    // The answers named in the page's head are the ones that are used: nothing is asked for twice.
    for (const part of ['first-look', 'protocol'])
      expect(
        asked.filter((path) => path.endsWith(`/${part}`)),
        part,
      ).toHaveLength(1);
    expect(asked.filter((path) => /^\/api\/(?:me|protocols)/u.test(path))).toEqual([]);
    door.sockets = true;
    await saveLine(page)
      .getByText(/^Saved/u)
      .waitFor();
    await page.reload();
    await expect.poll(() => rung(page, 4).isChecked()).toBe(true);
  });

  test('a new release waits until the pages of the old one are closed; the open sheet goes on with its own files', async () => {
    const { door, newPage, sheet } = await atTheDoor();
    door.release = 'release-one';
    const page = await newPage();
    await page.goto(sheet);
    await rateStep(page, 2);
    await page.evaluate(() => navigator.serviceWorker.ready.then(() => undefined));
    await expect.poll(() => offlineShell(page)).toContain('id="app"');
    // Also the very first page of a device, which was there before its worker, is held by it: it is never loaded again here.
    await expect
      .poll(() => page.evaluate(() => navigator.serviceWorker.controller?.state))
      .toBe('activated');
    await page.evaluate(() => Object.assign(globalThis, { sameDocument: true }));
    door.release = 'release-two';
    // Asked for until it is there, as every further page would: one that could not be fetched whole is given up.
    const waiting = () =>
      page.evaluate(async () => {
        const registration = await navigator.serviceWorker.getRegistration();
        if (!registration?.waiting && !registration?.installing) {
          await registration?.update().catch(() => undefined);
        }
        return registration?.waiting?.state;
      });
    await expect.poll(waiting, { timeout: 60_000, interval: 500 }).toBe('installed');
    expect((await kept(page)).toSorted()).toEqual(['release-one', 'release-two']);
    expect(await page.evaluate(() => 'sameDocument' in globalThis)).toBe(true);
    await rateStep(page, 3);
    await saveLine(page)
      .getByText(/^Saved/u)
      .waitFor();
    // A part that this page has not opened yet comes from what its own release kept, with no link at all.
    await page.context().setOffline(true);
    await page.getByRole('button', { name: 'Settings' }).click();
    await page.getByLabel('Display').waitFor();
    await page.context().setOffline(false);
    await page.close();
    // A page that comes while the last one still goes is served by the old release once more, and the next one is not.
    let later = await newPage();
    const reopened = async (): Promise<string[]> => {
      await later.close();
      later = await newPage();
      await later.goto(sheet);
      await rung(later, 3).waitFor({ state: 'attached' });
      return kept(later);
    };
    await expect.poll(reopened, { timeout: 60_000, interval: 1000 }).toEqual(['release-two']);
    await expect.poll(() => rung(later, 3).isChecked()).toBe(true);
  });

  test('without a link a German phone opens its sheet in German, and keeps what is rated', async () => {
    const { door, context, newPage, sheet } = await atTheDoor('de-DE');
    const page = await newPage();
    await page.goto(sheet);
    await rateStep(page, 1);
    await saveLine(page)
      .getByText(/^Gespeichert/u)
      .waitFor();
    await page.evaluate(() => navigator.serviceWorker.ready.then(() => undefined));
    await expect.poll(() => offlineShell(page)).toContain('<html lang="de">');
    expect(await kept(page)).toEqual([expect.stringMatching(/-de$/u)]);
    door.sockets = false;
    await context.setOffline(true);
    await page.reload();
    await expect.poll(() => rung(page, 1).isChecked()).toBe(true);
    await rateStep(page, 5);
    await saveLine(page).getByText('wartet auf den Server: 1 Aufgabe').waitFor();
    await picture(page, 'phone-de-offline', true);
  });

  test('the screen stays awake on the sheet, and is let go on leaving it', async () => {
    const { newPage, sheet } = await atTheDoor();
    const page = await newPage();
    await page.addInitScript(() => {
      const locks = { taken: 0, released: 0 };
      Object.assign(globalThis, { locks });
      navigator.wakeLock.request = () => {
        locks.taken++;
        const release = (): Promise<void> => Promise.resolve(void locks.released++);
        return Promise.resolve({ release } as unknown as WakeLockSentinel);
      };
    });
    const locks = () => page.evaluate(() => (globalThis as unknown as { locks: object }).locks);
    await page.goto(sheet);
    await rung(page, 0).waitFor();
    expect(await locks()).toEqual({ taken: 1, released: 0 });
    await page.getByRole('link', { name: 'Catalogue' }).click();
    await page.getByRole('heading', { level: 1, name: 'Catalogue' }).waitFor();
    expect(await locks()).toEqual({ taken: 1, released: 1 });
  });

  test('at 360 px, in every mode and at twice the text, nothing runs off the side and a critical failure is far from Next', async () => {
    const { newPage, sheet } = await atTheDoor();
    const page = await newPage();
    await page.goto(sheet);
    await rateStep(page, 5);
    const declare = page.getByRole('button', { name: 'Propose a critical failure' });
    await declare.waitFor();
    for (const mode of ['auto', 'sun', 'night']) {
      for (const text of ['100%', '200%']) {
        await page.evaluate(
          ([m = '', t = '']) => {
            document.documentElement.dataset['mode'] = m;
            document.documentElement.style.fontSize = t;
          },
          [mode, text],
        );
        const wide = await page.evaluate(() => document.documentElement.scrollWidth);
        expect(wide, `${mode} ${text}`).toBeLessThanOrEqual(SMALL.width);
        const [grave, on] = [
          await declare.boundingBox(),
          await page.getByRole('button', { name: 'Next', exact: true }).boundingBox(),
        ];
        // WCAG 2.2 asks 24 px between targets; a palm is wider.
        const gap = (on?.y ?? 0) - ((grave?.y ?? 0) + (grave?.height ?? 0));
        expect(Math.abs(gap), `${mode} ${text}: from it to Next`).toBeGreaterThan(56);
        expect(await axeViolations(page), `${mode} ${text}`).toEqual([]);
        await picture(page, `phone-${mode}-${text.replace('%', '')}`, true);
      }
    }
  });

  test.each(['en-GB', 'de-DE'])(
    'at 360 px and twice the text the words on the rungs stay whole, %s',
    async (locale) => {
      const { newPage, sheet } = await atTheDoor(locale);
      const page = await newPage();
      await page.goto(sheet);
      await rung(page, 0).waitFor({ state: 'attached' });
      await page.evaluate(() => (document.documentElement.style.fontSize = '200%'));
      const rungs = await page.locator('.rung').evaluateAll((all) =>
        all.map((one) => {
          const text = one.querySelector('strong')?.firstChild;
          const said = text?.textContent ?? '';
          const broken = [...said.matchAll(/\S+/gu)].filter(({ 0: word, index }) => {
            const range = document.createRange();
            if (!text) return true;
            range.setStart(text, index);
            range.setEnd(text, index + word.length);
            return new Set([...range.getClientRects()].map((r) => Math.round(r.bottom))).size > 1;
          });
          return { said, broken: broken.length, high: one.getBoundingClientRect().height };
        }),
      );
      await picture(page, `phone-rungs-${locale}`, true);
      expect(rungs.length).toBe(6);
      expect(rungs.filter((r) => r.said === '' || r.broken > 0)).toEqual([]);
      expect(Math.min(...rungs.map((r) => r.high))).toBeGreaterThanOrEqual(56);
      const wide = await page.evaluate(() => document.documentElement.scrollWidth);
      expect(wide).toBeLessThanOrEqual(SMALL.width);
    },
  );
});
