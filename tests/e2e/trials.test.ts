import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { axeViolations } from '../support/axe.ts';
import { launchBrowser, noBrowser } from '../support/chromium.ts';
import { cuttingProxy, type CuttingProxy } from '../support/cutting-proxy.ts';
import {
  declareNothing,
  goWithoutFit,
  invite,
  LAPTOP,
  openPanel,
  person,
  PHONE,
  picture,
  rateStep,
  reasonDialog,
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

const REASON = 'Twice held fast, the third time it came off: talked through.';
const PATIENT = { timeout: 20_000 };
const TASK = 'Stays seated and fastened';

describe.skipIf(noBrowser())('trials on a phone, and what they do to a decision', () => {
  let program: Program;
  let browser: Browser;
  /** The recorder's line, and the second reviewer's. */
  let line: CuttingProxy;
  let bensLine: CuttingProxy;
  const seats: Record<string, Seat> = {};
  const page = (who: string): Page => {
    const seat = seats[who];
    if (!seat) throw new Error(`nobody is ${who}`);
    return seat.page;
  };
  const choose = (label: string, title: RegExp | string) =>
    page('recorder')
      .getByLabel(label, { exact: true })
      .selectOption({ label: String(title) });
  const trials = () => page('recorder').getByTestId('trials').getByRole('listitem');

  beforeAll(async () => {
    program = await startProgram(freshDirectory());
    browser = await launchBrowser();
    line = await cuttingProxy(program.url);
    bensLine = await cuttingProxy(program.url);
    seats['moderator'] = await person(browser, LAPTOP);
    const moderator = page('moderator');
    await openPanel(moderator, program.signInLink ?? '');
    for (const [who, role] of [
      ['ada', 'Reviewer'],
      ['ben', 'Reviewer'],
      ['recorder', 'Recorder'],
    ] as const) {
      seats[who] = await person(browser, who === 'ada' ? LAPTOP : PHONE);
      const { link } = await invite(moderator, role);
      const lines = { recorder: line.url, ben: bensLine.url, ada: program.url };
      const way = link.replace(program.url, lines[who]);
      await takeByLink(page(who), way, `${who} (invented)`);
      if (role === 'Reviewer') await declareNothing(page(who));
    }
    await moderator.getByLabel('Sport').fill('gridiron');
    await moderator.getByLabel('Maker').fill('Larkmoor (invented)');
    await moderator.getByLabel('Model', { exact: true }).fill('Heron 3');
    await moderator.getByRole('button', { name: 'Make an evaluation' }).click();
    await moderator.getByRole('button', { name: /Start round 1/u }).click();
    await page('recorder').getByRole('button', { name: 'Trials' }).click();
    await page('recorder').getByTestId('stopwatch').waitFor();
    await page('recorder').getByRole('button', { name: 'I have read this and act on it' }).click();
  });
  afterAll(async () => {
    await browser.close();
    await line.close();
    await bensLine.close();
    await program.stop();
    removeDirectory(program.directory);
  });

  test('a run outlives a reload, is stopped and entered while the round is sealed', async () => {
    const phone = page('recorder');
    await choose('Task', TASK);
    await phone.getByLabel('Operator', { exact: true }).fill('k1');
    await phone.getByRole('button', { name: 'Start' }).click();
    await phone.getByRole('button', { name: 'Split' }).click();
    await phone.reload();
    const stop = phone.getByRole('button', { name: 'Stop the clock' });
    await stop.waitFor();
    expect((await stop.boundingBox())?.height).toBeGreaterThanOrEqual(56);
    const away = phone.getByRole('button', { name: 'Photos and clips' });
    expect(await away.isVisible()).toBe(false);
    await picture(phone, '20-stopwatch', true);
    await stop.click();
    await away.waitFor();
    await phone.getByRole('radio', { name: /^Not done/u }).check();
    await phone.getByLabel('Time', { exact: true }).fill('1:05,5');
    await phone.getByRole('radio', { name: 'Yes, met' }).check();
    expect(await axeViolations(phone)).toEqual([]);
    await phone.getByRole('button', { name: 'Enter the trial' }).click();
    await phone
      .getByTestId('save-line')
      .getByText(/^Saved/u)
      .waitFor();
    expect(await trials().first().innerText()).toContain('not done at 1:05.5');
    await page('ada').getByRole('button', { name: 'My sheet' }).click();
    await page('ada')
      .getByTestId('evidence')
      .getByText(/0 of 1 trial /u)
      .waitFor();
  });

  test('without a line trials are kept on the phone, refused values named, corrections shown', async () => {
    const phone = page('recorder');
    line.cut();
    await phone
      .getByTestId('save-line')
      .getByText(/^Kept on this device/u)
      .waitFor();
    await phone.getByRole('button', { name: 'Type a time instead' }).click();
    await phone.getByRole('radio', { name: /^Not done/u }).check();
    await phone.getByLabel('Time', { exact: true }).fill('9O');
    await phone.getByRole('radio', { name: 'No', exact: true }).check();
    await phone.getByRole('button', { name: 'Enter the trial' }).click();
    await phone
      .getByRole('alert')
      .getByText(/no unit of this measure|not understood/u)
      .waitFor();
    await phone.getByLabel('Time', { exact: true }).fill('90');
    await phone.getByRole('button', { name: 'Enter the trial' }).click();
    await expect.poll(() => trials().count()).toBe(2);
    await trials().nth(1).getByRole('button', { name: 'Correct' }).click();
    await phone.getByRole('radio', { name: 'Yes, met' }).check();
    await phone.getByRole('button', { name: 'Enter the correction' }).click();
    await expect.poll(() => trials().count()).toBe(3);
    await phone.getByRole('button', { name: 'Type a time instead' }).click();
    await phone.getByRole('radio', { name: 'Done', exact: true }).check();
    await phone.getByLabel('Time', { exact: true }).fill('3');
    await phone.getByRole('radio', { name: 'No', exact: true }).check();
    await phone.getByRole('button', { name: 'Enter the trial' }).click();
    await trials().nth(3).getByRole('button', { name: 'Void' }).click();
    await reasonDialog(phone, 'The strap had been left open.', 'Void it');
    await phone.getByText('void (recorder (invented)): The strap had been left open.').waitFor();
    expect(await phone.getByTestId('waiting').count()).toBe(3);
    await picture(phone, '21-trials-offline', true);
    // Nothing of it has reached anybody.
    expect(await page('ada').getByTestId('evidence').innerText()).toContain('0 of 1 trial ');
  });

  test('back on the line the desk shows what they say, against the ratings', async () => {
    line.mend();
    const phone = page('recorder');
    await phone
      .getByTestId('save-line')
      .getByText(/^Saved/u)
      .waitFor();
    await expect.poll(() => phone.getByTestId('waiting').count(), PATIENT).toBe(0);
    await page('ada')
      .getByTestId('evidence')
      .getByText(/0 of 2 trials/u)
      .waitFor();
    await page('ben').getByRole('button', { name: 'My sheet' }).click();
    for (const who of ['ada', 'ben']) {
      await rateStep(page(who), 1);
      await saved(page(who));
      await picture(page(who), `22-sheet-with-evidence-${who}`);
    }
    const moderator = page('moderator');
    await goWithoutFit(moderator);
    await moderator.getByRole('button', { name: /^Open with/u }).click();
    await moderator.getByRole('button', { name: 'Press again to open' }).click();
    const queue = moderator.getByTestId('queue').getByRole('listitem').first();
    await queue.getByText(TASK).waitFor();
    await moderator
      .getByText(/trials speak against the rating of/u)
      .first()
      .waitFor();
    const evidence = moderator.getByTestId('evidence');
    await evidence.getByText(/critical failure was seen in 2 of 2 judged trials: met/u).waitFor();
    await evidence.getByText(/1 void/u).waitFor();
    await picture(moderator, '23-desk-evidence', true);
    expect(await axeViolations(moderator)).toEqual([]);
  });

  test('a remark that came too late does not take the trials beside it with it', async () => {
    const [ben, moderator] = [page('ben'), page('moderator')];
    await ben.getByTestId('opened-task').waitFor();
    // His phone has every page by now, also those he has not opened yet.
    await ben.evaluate(() => navigator.serviceWorker.ready.then(() => undefined));
    bensLine.cut();
    await ben.getByLabel('Write a remark').fill('The buckle looks worn.');
    await ben.getByRole('button', { name: 'Post', exact: true }).click();
    await ben.getByRole('button', { name: 'Open the trials' }).click();
    await ben
      .getByLabel('Task', { exact: true })
      .selectOption({ label: 'Comfort while lying still and being handled' });
    await ben.getByLabel('Operator', { exact: true }).fill('M1');
    await ben.getByRole('button', { name: 'Type a time instead' }).click();
    await ben.getByRole('radio', { name: 'Done', exact: true }).check();
    await ben.getByRole('button', { name: 'Enter the trial' }).click();
    await ben.getByTestId('waiting').waitFor();
    await moderator.getByRole('button', { name: 'Second round', exact: true }).click();
    await moderator.getByRole('button', { name: /Call the second round on 1 task/u }).click();
    await moderator
      .getByTestId('stage')
      .getByText(/Round 2/u)
      .waitFor();
    bensLine.mend();
    await ben.getByText(/did not take the last entries/u).waitFor();
    await picture(ben, '24-refused', true);
    await ben.getByRole('button', { name: 'Send my trials again' }).click();
    await expect.poll(() => ben.getByTestId('waiting').count(), PATIENT).toBe(0);
    expect(await ben.getByTestId('trials').getByRole('listitem').count()).toBe(1);
    await rateStep(page('ada'), 1);
    await saved(page('ada'));
    await moderator.getByRole('button', { name: /^Open with/u }).click();
    await moderator.getByRole('button', { name: 'Press again to open' }).click();
    await moderator
      .getByTestId('stage')
      .getByText(/Opened/u)
      .waitFor();
  });

  test('the decision is backed by the trials, and the bundle verifies', async () => {
    const moderator = page('moderator');
    const gate = moderator.getByTestId('gate');
    await gate.getByText('The trials meet the criterion.').waitFor();
    await gate.getByRole('button', { name: 'Confirm' }).click();
    await reasonDialog(moderator, REASON, 'Confirm');
    await gate.getByText(/^Confirmed: care was blocked here/u).waitFor();
    expect(await gate.innerText()).not.toContain('not backed by trials');
    await moderator.getByTestId('settle').getByRole('button', { name: 'Leave open' }).click();
    await reasonDialog(moderator, REASON, 'Leave open');
    line.cut();
    const phone = page('recorder');
    await phone.getByRole('button', { name: 'Type a time instead' }).click();
    await phone.getByRole('radio', { name: 'Done', exact: true }).check();
    await phone.getByRole('radio', { name: 'Cannot say' }).check();
    await phone.getByRole('button', { name: 'Enter the trial' }).click();
    await phone.getByTestId('waiting').waitFor();
    await moderator.getByRole('button', { name: 'Lock the evaluation' }).click();
    await moderator.getByRole('dialog').getByRole('button', { name: 'Lock and sign' }).click();
    await moderator.getByTestId('stage').getByText('Locked').waitFor();
    line.mend();
    await phone.getByText(/This evaluation is closed/u).waitFor();
    await phone.getByText(/^1 trial on this device came after the lock/u).waitFor();
    await picture(phone, '25-after-the-lock', true);
    await moderator.getByRole('button', { name: 'Record' }).click();
    const [download] = await Promise.all([
      moderator.waitForEvent('download'),
      moderator.getByRole('link', { name: 'Bundle, signed' }).click(),
    ]);
    const file = join(program.directory, 'bundle.json');
    await download.saveAs(file);
    const checked = await runProgram(['verify', file]);
    expect(checked.code, checked.out).toBe(0);
    const { result } = JSON.parse(readFileSync(file, 'utf8')) as {
      result: { evidence: unknown };
    };
    expect(result.evidence).toMatchObject([
      { task: 'fit-retention', valid: 2, done: 0, criterion: 'met' },
      { task: 'wear-comfort', valid: 1, done: 1, criterion: null },
    ]);
  });

  test('no page reported a fault', () => {
    for (const [who, seat] of Object.entries(seats)) expect(seat.faults, who).toEqual([]);
  });
});
