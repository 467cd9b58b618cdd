import { join } from 'node:path';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { axeViolations } from '../support/axe.ts';
import { launchBrowser, noBrowser } from '../support/chromium.ts';
import {
  LAPTOP,
  PHONE,
  declareNothing,
  goWithoutFit,
  invite,
  openPanel,
  person,
  picture,
  rateStep,
  saved,
  takeByLink,
  type Seat,
} from '../support/people.ts';
import {
  freshDirectory,
  removeDirectory,
  runProgram,
  startProgram,
  type Program,
} from '../support/program.ts';

describe.skipIf(noBrowser())('devices as witnesses', () => {
  const directory = freshDirectory();
  const copies = freshDirectory();
  let program: Program;
  let browser: Browser;
  let moderator: Seat;
  let phone: Seat;

  beforeAll(async () => {
    program = await startProgram(directory);
    browser = await launchBrowser();
    moderator = await person(browser, LAPTOP);
    await openPanel(moderator.page, program.signInLink ?? '');
    const offer = await invite(moderator.page, 'Reviewer', 'link');
    phone = await person(browser, PHONE);
    await takeByLink(phone.page, offer.link, 'Ada');
    await declareNothing(phone.page);
  });
  afterAll(async () => {
    await browser.close();
    await program.stop();
    removeDirectory(directory);
    removeDirectory(copies);
  });

  test('an older copy of the store is noticed by every device that saw more', async () => {
    const desk = moderator.page;
    await desk.getByLabel('Sport').fill('gridiron');
    await desk.getByLabel('Maker').fill('Larkmoor Guardworks (invented)');
    await desk.getByLabel('Model', { exact: true }).fill('Heron 3');
    await desk.getByRole('button', { name: 'Make an evaluation' }).click();
    const start = desk.getByRole('button', { name: /Start round 1/u });
    await start.waitFor();
    const copy = join(copies, 'before.db');
    const made = await runProgram(['backup', copy, '--data-dir', directory]);
    expect(made.code, made.err).toBe(0);

    await start.click();
    await phone.page.getByRole('button', { name: 'My sheet' }).click();
    await rateStep(phone.page, 2);
    await saved(phone.page);
    await goWithoutFit(desk);
    await desk.getByRole('button', { name: /Open with 0 of 1/u }).click();
    await desk.getByRole('button', { name: /Press again/u }).click();
    await phone.page.getByTestId('opened-task').first().waitFor();

    const port = Number(new URL(program.url).port);
    await program.stop();
    const back = await runProgram(['restore', copy, '--data-dir', directory]);
    expect(back.code, back.err).toBe(0);
    program = await startProgram(directory, port);

    const alarm = phone.page.getByTestId('witness-alarm');
    await alarm.getByText('knows less of this evaluation').waitFor();
    await picture(phone.page, '30-witness-alarm-phone');
    expect(await axeViolations(phone.page)).toEqual([]);
    const evidence = alarm.getByRole('link', { name: 'Save the evidence' });
    expect(decodeURIComponent((await evidence.getAttribute('href')) ?? '')).toMatch(
      /Seen and checked[^]*unhindered\.local[^]*Told by the server now[^]*unhindered\.local/u,
    );
    const own = desk.getByTestId('witness-alarm');
    await own.getByRole('button', { name: 'Show the page all the same' }).click();
    await desk
      .getByTestId('doubts')
      .getByText(/Ada: the server knows less/u)
      .waitFor();
    // Nothing of the round that was taken back is left on the screen.
    expect(await desk.getByTestId('opened-task').count()).toBe(0);
    await picture(desk, '31-doubts-desk');
  });
});
