import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { axeViolations } from '../support/axe.ts';
import { launchBrowser, noBrowser } from '../support/chromium.ts';
import { cuttingProxy, type CuttingProxy } from '../support/cutting-proxy.ts';
import { pngByHand, pngChunk } from '../support/media-by-hand.ts';
import { invite, LAPTOP, openPanel, person, picture, takeByLink } from '../support/people.ts';
import { freshDirectory, removeDirectory, startProgram, type Program } from '../support/program.ts';

const SMALL = { width: 360, height: 740 };

describe.skipIf(noBrowser())('photos from a phone', () => {
  let program: Program;
  let browser: Browser;
  let line: CuttingProxy;
  let phone: Page;
  let moderator: Page;

  beforeAll(async () => {
    program = await startProgram(freshDirectory());
    browser = await launchBrowser();
    line = await cuttingProxy(program.url);
    ({ page: moderator } = await person(browser, LAPTOP));
    await openPanel(moderator, program.signInLink ?? '');
    ({ page: phone } = await person(browser, SMALL));
    const { link } = await invite(moderator, 'Recorder');
    await takeByLink(phone, link.replace(program.url, line.url), 'Rae (invented)');
    await moderator.getByLabel('Sport').fill('gridiron');
    await moderator.getByLabel('Maker').fill('Larkmoor (invented)');
    await moderator.getByLabel('Model', { exact: true }).fill('Heron 3');
    await moderator.getByRole('button', { name: 'Make an evaluation' }).click();
    await phone.getByRole('button', { name: 'Trials' }).click();
    await phone.getByRole('button', { name: 'Photos and clips' }).click();
  });
  afterAll(async () => {
    await browser.close();
    await line.close();
    await program.stop();
    removeDirectory(program.directory);
  });

  test('ME-18: a photo chosen while the line is cut outlives a reload, goes up when it is back, and is shown', async () => {
    const padding = pngChunk('zzZz', Buffer.alloc(600_000, 7));
    const file = { name: '../IMG_1.heic', mimeType: 'image/png', buffer: pngByHand([padding]) };
    await phone.getByText('Choose a file').waitFor();
    line.cut();
    await phone.getByLabel('Choose a file').setInputFiles(file);
    await phone.getByRole('button', { name: 'Send it' }).click();
    await phone.getByText('Look at it, then tick that no face can be seen.').waitFor();
    await phone.getByLabel('What it shows').fill('The strap from the left');
    await phone.getByLabel('I looked: no face can be seen in it').check();
    await phone.getByRole('button', { name: 'Send it' }).click();
    await phone
      .getByTestId('uploads')
      .getByText(/Waiting for the network/u)
      .waitFor();
    await picture(phone, '30-photo-waiting', true);
    expect(await axeViolations(phone)).toEqual([]);
    line.mend();
    await phone.reload();
    const photo = phone.getByRole('img', { name: 'The strap from the left' });
    await photo.waitFor();
    await expect.poll(() => photo.evaluate((i) => (i as HTMLImageElement).naturalWidth)).toBe(16);
    await phone.getByTestId('uploads').waitFor({ state: 'detached' });
    await picture(phone, '31-photo-saved', true);
    expect(await axeViolations(phone)).toEqual([]);
    const wide = await phone.evaluate(() => document.documentElement.scrollWidth);
    expect(wide).toBeLessThanOrEqual(SMALL.width);
  });

  test('ME-19: the moderator erases it with a reason, which both then read', async () => {
    await moderator.goto(`${program.url}${new URL(phone.url()).pathname}`);
    await moderator.getByRole('button', { name: 'Remove' }).click();
    await moderator.getByRole('dialog').getByRole('textbox').fill('A face is in it.');
    await moderator.getByRole('button', { name: 'Erase the file' }).click();
    await phone.getByText(/^Removed by Mara Ruiz\..*Reason: A face is in it\.$/u).waitFor();
    await picture(moderator, '32-photo-removed', true);
    expect(await axeViolations(moderator)).toEqual([]);
  });
});
