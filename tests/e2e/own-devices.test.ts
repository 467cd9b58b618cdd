import { readdirSync } from 'node:fs';
import { join } from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { axeViolations } from '../support/axe.ts';
import { launchBrowser, noBrowser } from '../support/chromium.ts';
import {
  declareNothing,
  invite,
  LAPTOP,
  next,
  openPanel,
  person,
  picture,
  PHONE,
  rateStep,
  saved,
  takeByLink,
  type Seat,
} from '../support/people.ts';
import { freshDirectory, removeDirectory, startProgram, type Program } from '../support/program.ts';

const ASSETS = join(import.meta.dirname, '../../web/dist/en/assets');

/** Files of the pages, in English, that this device would not have without a network. */
const notKept = (page: Page): Promise<string[]> =>
  page.evaluate(
    async (names) => {
      const missing: string[] = [];
      for (const name of names) if (!(await caches.match(`/assets/${name}`))) missing.push(name);
      return missing;
    },
    readdirSync(ASSETS).filter((name) => /\.(?:js|css|woff2)$/u.test(name)),
  );

describe.skipIf(noBrowser())('a reviewer’s own devices', () => {
  let program: Program;
  let browser: Browser;
  let phone: Seat;
  /** What the phone's page sends over its sockets. */
  const sent: string[] = [];

  const step = (seat: Seat, value: number) =>
    seat.page.locator(`input[type="radio"][value="${String(value)}"]`);

  beforeAll(async () => {
    program = await startProgram(freshDirectory());
    browser = await launchBrowser();
    const moderator = await person(browser, LAPTOP);
    await openPanel(moderator.page, program.signInLink ?? '');
    phone = await person(browser, PHONE);
    phone.page.on('websocket', (socket) =>
      socket.on('framesent', ({ payload }) => sent.push(String(payload))),
    );
    await phone.page.addInitScript(() => {
      const calls: string[] = [];
      Object.assign(globalThis, { calls });
      navigator.vibrate = (pattern) => calls.push(`vibrate ${JSON.stringify(pattern)}`) > 0;
      navigator.wakeLock.request = (type) => {
        calls.push(`awake ${type}`);
        return Promise.reject(new Error('not in this test'));
      };
    });
    await takeByLink(phone.page, (await invite(moderator.page, 'Reviewer')).link, 'Ada (invented)');
    await declareNothing(phone.page);
    await moderator.page.getByLabel('Sport').fill('lacrosse');
    await moderator.page.getByLabel('Maker').fill('Brackenholt (invented)');
    await moderator.page.getByLabel('Model', { exact: true }).fill('Meadow One');
    await moderator.page.getByRole('button', { name: 'Make an evaluation' }).click();
    await moderator.page.getByRole('button', { name: /Start round 1/u }).click();
    await phone.page.getByRole('button', { name: 'My sheet' }).click();
    await rateStep(phone.page, 3);
    await saved(phone.page);
  });
  afterAll(async () => {
    await browser.close();
    await program.stop();
    removeDirectory(program.directory);
  });

  test('going back and forth never leaves a reviewer before the wrong screen', async () => {
    for (let turn = 0; turn < 8; turn++) {
      await phone.page.goBack();
      await phone.page.getByRole('button', { name: 'Add a device of mine' }).waitFor();
      await phone.page.goForward();
      await step(phone, 3).waitFor();
    }
    expect(sent.filter((frame) => frame.includes('"on":"panel"')).length).toBeGreaterThan(8);
    // A screen shown under another's address would ask for an evaluation without a name.
    expect(sent.filter((frame) => frame.includes('"evaluation":""'))).toEqual([]);
  });

  test('one hand: no target under 56 px, a tap in the hand for an answer, the screen kept awake', async () => {
    const { page } = phone;
    await page.setViewportSize({ width: 360, height: 740 });
    await page.getByText(/^All tasks: /u).click();
    const small = await page
      .locator('main :is(button, summary, label:has([type="radio"], [type="checkbox"])):visible')
      .evaluateAll((controls) =>
        controls.flatMap((c) => {
          const { width, height } = c.getBoundingClientRect();
          const name = c.textContent.trim().slice(0, 40);
          return width < 56 || height < 56 ? [`${name}: ${String(width)} x ${String(height)}`] : [];
        }),
      );
    expect(small).toEqual([]);
    await page.getByText(/^All tasks: /u).click();
    await page.setViewportSize(PHONE);
    const calls = () => page.evaluate(() => (globalThis as unknown as { calls: string[] }).calls);
    const before = (await calls()).filter((c) => c === 'vibrate 20').length;
    expect(await calls()).toContain('awake screen');
    await rateStep(page, 2);
    await rateStep(page, 3);
    expect((await calls()).filter((c) => c === 'vibrate 20')).toHaveLength(before + 2);
    await saved(page);
  });

  test('ME-20: a reviewer says how they see the work, and it is there after a reload', async () => {
    const { page } = phone;
    await step(phone, 3).waitFor();
    await page.getByText('How you see the work: not said yet').click();
    await page.getByLabel('live on video, in another program').check();
    const said = page.getByText('How you see the work: live on video, in another program');
    await said.waitFor();
    await picture(page, '33-how-seen', true);
    expect(await axeViolations(page)).toEqual([]);
    const wide = await page.evaluate(() => document.documentElement.scrollWidth);
    expect(wide).toBeLessThanOrEqual(PHONE.width);
    sent.length = 0;
    await page.reload();
    await said.waitFor();
    // A slow line does not carry the same answer twice. The sheet stands before its socket has asked at all.
    const asked = (): string[] =>
      sent.filter((frame) => frame.includes('["watch",{"on":"evaluation"'));
    await expect.poll(asked).not.toEqual([]);
    await saved(page);
    expect(asked()).toHaveLength(1);
  });

  test('a rating follows its reviewer to a second device', async () => {
    await phone.page.goBack();
    await phone.page.getByRole('button', { name: 'Add a device of mine' }).click();
    const code = await phone.page.locator('p.code').innerText();
    const laptop = await person(browser, LAPTOP);
    await laptop.page.goto(`${program.url}/join`);
    await laptop.page.getByLabel('Code from the moderator').fill(code);
    await laptop.page.getByRole('button', { name: 'Continue' }).click();
    await laptop.page.getByRole('button', { name: 'Add this device' }).click();
    await laptop.page.getByRole('button', { name: 'My sheet' }).click();
    await expect.poll(() => step(laptop, 3).isChecked()).toBe(true);
  });

  test('with the server gone the sheet opens from the device, and ratings outlive another reload', async () => {
    const { page } = phone;
    await page.goForward();
    await step(phone, 3).waitFor();
    await page.evaluate(() => navigator.serviceWorker.ready.then(() => undefined));
    await expect
      .poll(() => page.evaluate(async () => (await caches.match('/')) !== undefined))
      .toBe(true);
    expect(await notKept(page)).toEqual([]);
    await program.stop();
    await page.reload();
    await expect.poll(() => step(phone, 3).isChecked()).toBe(true);
    // Also what is asked for only when it is opened.
    await page.getByRole('button', { name: 'Settings' }).click();
    await page.getByLabel('Display').waitFor();
    await page.getByRole('button', { name: 'Settings' }).click();
    expect(await page.getByTestId('save-line').innerText()).toContain('Kept on this device');
    await next(page);
    await rateStep(page, 2);
    await expect.poll(() => step(phone, 2).isChecked()).toBe(true);
    const waits = page.getByText('Kept on this device, waiting for the server: 1 task');
    await waits.waitFor();
    await page.reload();
    await waits.waitFor();
    await page.getByRole('button', { name: 'Next', exact: true }).click();
    await expect.poll(() => step(phone, 2).isChecked()).toBe(true);
    expect(phone.faults).toEqual([]);
  });

  test('who signs out is asked about what was not sent, stays while nobody answers, and leaves nothing behind', async () => {
    const { page } = phone;
    const asked: string[] = [];
    let yes = false;
    page.on('dialog', (dialog) => {
      asked.push(`${dialog.type()}: ${dialog.message()}`);
      void (yes ? dialog.accept() : dialog.dismiss());
    });
    const leave = () => page.getByRole('button', { name: 'Sign out' }).click();
    await leave();
    expect(asked).toEqual([expect.stringMatching(/^confirm: 1 thing on this device did not/u)]);
    yes = true;
    await leave();
    await expect.poll(() => asked.at(-1)).toMatch(/^alert: The server does not answer/u);
    await page.reload();
    await page.getByRole('button', { name: 'Next', exact: true }).click();
    await expect.poll(() => step(phone, 2).isChecked()).toBe(true);

    program = await startProgram(program.directory, Number(new URL(program.url).port));
    await saved(page);
    asked.length = 0;
    await leave();
    await page.getByLabel('Code from the moderator').waitFor();
    expect(asked).toEqual([]);
    const kept = () =>
      page.evaluate(async () => ({
        databases: (await indexedDB.databases()).map((d) => d.name).filter((n) => n?.includes(':')),
        keys: Object.keys(localStorage).filter((key) => key.includes(':')),
      }));
    await expect.poll(kept).toEqual({ databases: [], keys: [] });
    await page.goto(`${program.url}/`);
    await page.getByLabel('Code from the moderator').waitFor();
  });
});
