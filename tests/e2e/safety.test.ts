import type { Browser, Locator, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { axeViolations } from '../support/axe.ts';
import { launchBrowser, noBrowser } from '../support/chromium.ts';
import {
  declareNothing,
  HD,
  invite,
  LAPTOP,
  openPanel,
  person,
  picture,
  takeByLink,
  type Seat,
} from '../support/people.ts';
import { freshDirectory, removeDirectory, startProgram, type Program } from '../support/program.ts';

const SMALL = { width: 360, height: 780 };
const TASK = 'Hand placement and chest compressions';
const WHY = 'The strap pressed on the throat.';
const MEASURES = 'Strap loosened; the model is well and wants to go on.';

describe.skipIf(noBrowser())('the safety of the day', () => {
  let program: Program;
  let browser: Browser;
  const seats: Record<string, Seat> = {};
  const page = (who: string): Page => {
    const seat = seats[who];
    if (!seat) throw new Error(`nobody is ${who}`);
    return seat.page;
  };
  const notice = (who: string): Locator => page(who).getByTestId('stop-notice');
  const press = (who: string): Promise<void> =>
    page(who).getByRole('button', { name: 'Everyone stop' }).click();
  const start = (who: string): Locator => page(who).getByRole('button', { name: 'Start' });
  const elapsed = (who: string): Promise<string> =>
    page(who).getByTestId('stopwatch').getByRole('timer').innerText();
  const resume = async (): Promise<void> => {
    const dialog = notice('moderator');
    await dialog.getByLabel('What was done about it').fill(MEASURES);
    await dialog.getByRole('button', { name: 'Let the day go on' }).click();
    for (const who of Object.keys(seats)) await notice(who).waitFor({ state: 'detached' });
  };

  beforeAll(async () => {
    program = await startProgram(freshDirectory());
    browser = await launchBrowser();
    seats['moderator'] = await person(browser, LAPTOP);
    const moderator = page('moderator');
    await openPanel(moderator, program.signInLink ?? '');
    for (const [who, role, size] of [
      ['ada', 'Reviewer', SMALL],
      ['recorder', 'Recorder', SMALL],
      ['operator', 'Operator', LAPTOP],
      ['observer', 'Observer', LAPTOP],
      ['wall', 'Wall display', HD],
    ] as const) {
      seats[who] = await person(browser, size);
      const { link } = await invite(moderator, role);
      await takeByLink(page(who), link, who === 'wall' ? '' : `${who} (invented)`);
      if (role === 'Reviewer') await declareNothing(page(who));
    }
    await moderator.getByLabel('Sport').fill('gridiron');
    await moderator.getByLabel('Maker').fill('Larkmoor (invented)');
    await moderator.getByLabel('Model', { exact: true }).fill('Heron 3');
    await moderator.getByRole('button', { name: 'Make an evaluation' }).click();
    await moderator.getByRole('button', { name: /Start round 1/u }).click();
    for (const who of ['recorder', 'operator']) {
      await page(who).getByRole('button', { name: 'Trials' }).click();
      await page(who).getByTestId('stopwatch').waitFor();
    }
    await page('ada').getByRole('button', { name: 'My sheet' }).click();
  });
  afterAll(async () => {
    await browser.close();
    await program.stop();
    removeDirectory(program.directory);
  });

  test('the stopwatch waits for the briefing, a typed time does not', async () => {
    const phone = page('recorder');
    await phone.getByLabel('Operator', { exact: true }).fill('k1');
    expect(await start('recorder').isDisabled()).toBe(true);
    await phone.getByText('Read the briefing first').waitFor();
    expect(await phone.getByRole('button', { name: 'Type a time instead' }).isEnabled()).toBe(true);
    expect(await axeViolations(phone)).toEqual([]);
    await picture(phone, 'safety-01-briefing', true);
    const read = phone.getByRole('button', { name: 'I have read this and act on it' });
    expect((await read.boundingBox())?.height).toBeGreaterThanOrEqual(56);
    await read.click();
    await phone.getByText('Read the briefing first').waitFor({ state: 'detached' });
    expect(await start('recorder').isEnabled()).toBe(true);
    const other = page('operator');
    await other.getByRole('button', { name: 'I have read this and act on it' }).click();
    await page('moderator').getByRole('link', { name: 'Safety of the day' }).click();
    const owed = page('moderator').getByTestId('briefing-owed');
    await owed.waitFor();
    expect(await owed.innerText()).toContain('ada (invented)');
    expect(await owed.innerText()).not.toContain('recorder (invented)');
  });

  test('a model’s consent is recorded by code, and the model can be named in a trial', async () => {
    const moderator = page('moderator');
    const models = moderator.getByTestId('models');
    await models.getByLabel('Code of the model').fill('anna');
    await models.getByLabel(/I have seen the written consent/u).check();
    await models.getByRole('button', { name: 'Record the consent' }).click();
    await models.getByRole('alert').getByText('Use a code with a digit').waitFor();
    for (const code of ['m1', 'm2']) {
      await models.getByLabel('Code of the model').fill(code);
      await models.getByLabel(/I have seen the written consent/u).check();
      await models.getByRole('button', { name: 'Record the consent' }).click();
      await models.getByText(code.toUpperCase(), { exact: true }).waitFor();
    }
    await picture(moderator, 'safety-02-screen-1280', true);
    const phone = page('recorder');
    await phone.getByLabel('Task', { exact: true }).selectOption({ label: TASK });
    await phone.getByLabel('Model (who wears it)').selectOption('M1');
  });

  test('two stopwatches run, one press on the phone stops both and fills every screen', async () => {
    const phone = page('recorder');
    const other = page('operator');
    await other.getByLabel('Operator', { exact: true }).fill('k2');
    await start('recorder').click();
    await start('operator').click();
    await other.getByRole('button', { name: 'Stop the clock' }).waitFor();
    await press('recorder');
    const dialog = phone.getByRole('dialog');
    await dialog.getByLabel('Why, in your words').fill(WHY);
    expect(await axeViolations(phone)).toEqual([]);
    await picture(phone, 'safety-03-press-360');
    const now = dialog.getByRole('button', { name: 'Stop everyone now' });
    expect((await now.boundingBox())?.height).toBeGreaterThanOrEqual(56);
    await now.click();
    for (const who of Object.keys(seats)) {
      await notice(who).getByText(WHY).waitFor();
      expect(await notice(who).innerText(), who).toContain('recorder (invented)');
      const box = await notice(who).boundingBox();
      const size = page(who).viewportSize();
      expect([box?.width, box?.height], who).toEqual([size?.width, size?.height]);
      expect(await axeViolations(page(who)), who).toEqual([]);
    }
    await picture(phone, 'safety-04-stopped-360');
    await picture(page('moderator'), 'safety-05-stopped-1280');
    await picture(page('wall'), 'safety-06-stopped-wall-1920');
    await picture(page('ada'), 'safety-07-stopped-sheet-360');
    for (const who of ['recorder', 'operator']) {
      await notice(who).getByRole('button', { name: 'Seen' }).click();
      await page(who).getByTestId('halted').waitFor();
      expect(await page(who).getByRole('button', { name: 'Stop the clock' }).count()).toBe(0);
    }
    const first = await elapsed('recorder');
    await phone.reload();
    await notice('recorder').getByRole('button', { name: 'Seen' }).click();
    await phone.getByTestId('halted').waitFor();
    expect(await elapsed('recorder')).toBe(first);
    await picture(phone, 'safety-08-halted-360', true);
    expect(await axeViolations(phone)).toEqual([]);
  });

  test('the run is void by default, with the reason filled in, and no new one is started', async () => {
    const phone = page('recorder');
    await phone.getByTestId('halted').getByRole('button', { name: 'Void this run' }).click();
    const dialog = phone.getByRole('dialog', { name: 'Void this trial?' });
    expect(await dialog.getByRole('textbox').inputValue()).toBe(`Stopped by everyone stop: ${WHY}`);
    await dialog.getByRole('button', { name: 'Void it' }).click();
    const row = phone.getByTestId('trials').getByRole('listitem').first();
    await row.getByText('Stopped by everyone stop').waitFor();
    expect(await row.innerText()).toContain('M1');
    await phone.getByText('no trial is started until a moderator').waitFor();
    expect(await start('recorder').isDisabled()).toBe(true);
  });

  test('only the moderator lets it go on, with a word, and everybody is told', async () => {
    expect(await notice('ada').getByLabel('What was done about it').count()).toBe(0);
    await resume();
    await page('ada').getByTestId('day-goes-on').getByText(MEASURES).waitFor();
    await picture(page('ada'), 'safety-09-goes-on-360');
    await page('recorder').getByText('no trial is started').waitFor({ state: 'detached' });
    expect(await start('recorder').isEnabled()).toBe(true);
    await page('recorder').getByTestId('rest').getByText('K1 did a tiring trial').waitFor();
    await picture(page('recorder'), 'safety-10-rest-360', true);
    // The other run was over by then: entered all the same, it says what happened.
    const other = page('operator');
    await other.getByRole('button', { name: 'Enter it all the same' }).click();
    expect(await other.getByLabel('Note').inputValue()).toContain('stopped by everyone stop');
  });

  test('a device that was not on the trials when it happened finds its run ended', async () => {
    const phone = page('recorder');
    await start('recorder').click();
    await phone.getByRole('link', { name: 'Safety of the day' }).click();
    await press('moderator');
    await page('moderator').getByRole('button', { name: 'Pain or discomfort' }).click();
    await notice('recorder').waitFor();
    await resume();
    await phone.getByRole('button', { name: 'Back' }).click();
    await phone.getByTestId('halted').waitFor();
    await phone.getByTestId('halted').getByRole('button', { name: 'Void this run' }).click();
    const dialog = phone.getByRole('dialog', { name: 'Void this trial?' });
    await dialog.getByRole('button', { name: 'Void it' }).click();
  });

  test('a model leaves: no trial is started with them, and the moderator decides about the earlier ones', async () => {
    const observer = page('observer');
    expect(await observer.getByRole('button', { name: 'Everyone stop' }).count()).toBe(0);
    await observer
      .getByRole('button', { name: /Follow|Open|Heron/u })
      .first()
      .click();
    await observer.getByRole('link', { name: 'Safety of the day' }).click();
    const model = observer.getByTestId('models').getByRole('listitem').first();
    await model.getByRole('button', { name: 'Has left' }).click();
    await observer.getByRole('button', { name: 'Record that they left' }).click();
    await page('recorder').getByText('This model has left').waitFor();
    expect(await start('recorder').isDisabled()).toBe(true);
    await page('recorder').getByLabel('Model (who wears it)').selectOption('M2');
    expect(await start('recorder').isEnabled()).toBe(true);
    const row = page('recorder').getByTestId('trials').getByRole('listitem').first();
    await row.getByText('the model left later').waitFor();
    const moderator = page('moderator');
    await moderator.getByRole('button', { name: 'Take their trials out' }).click();
    const dialog = moderator.getByRole('dialog');
    await dialog.getByRole('textbox').fill('The model asked that they are not used.');
    await dialog.getByRole('button', { name: 'Take their trials out' }).click();
    await row.getByText('taken out: the model left').waitFor();
  });

  test('an incident is noted, of a trial, with what was done and who was told', async () => {
    const phone = page('recorder');
    await phone.getByRole('link', { name: 'Safety of the day' }).click();
    const notes = phone.getByTestId('incidents');
    await notes.getByRole('button', { name: 'Keep the note' }).click();
    await notes.getByRole('alert').getByText('Say what happened').waitFor();
    await notes.getByLabel('What happened').fill('A strap end slipped and touched the neck.');
    await notes.getByLabel('In which task or trial').selectOption({ index: 1 });
    await notes.getByLabel('What was done').fill('Stopped, looked at, strap taped down.');
    await notes.getByRole('radio', { name: 'No, not informed' }).check();
    await notes.getByRole('button', { name: 'Keep the note' }).click();
    await notes.getByRole('listitem').getByText('A strap end slipped').waitFor();
    expect(await notes.getByRole('listitem').innerText()).toContain('trial of K1');
    await picture(phone, 'safety-11-screen-360', true);
    expect(await axeViolations(phone)).toEqual([]);
    await page('moderator').getByTestId('incidents').getByText('A strap end slipped').waitFor();
    await picture(page('moderator'), 'safety-12-screen-1280', true);
    expect(await axeViolations(page('moderator'))).toEqual([]);
    await page('moderator').setViewportSize(HD);
    await picture(page('moderator'), 'safety-13-screen-1920', true);
  });

  test('nobody’s page reported a fault', () => {
    for (const [who, { faults }] of Object.entries(seats)) expect(faults, who).toEqual([]);
  });
});
