import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { inventedFitCommand } from '../../server/src/rehearse/invented-fit.ts';
import { SeatClient } from '../../server/src/rehearse/seat-client.ts';
import { axeViolations } from '../support/axe.ts';
import { launchBrowser, noBrowser } from '../support/chromium.ts';
import {
  declareNothing,
  LAPTOP,
  person,
  picture,
  takeByLink,
  type Seat,
} from '../support/people.ts';
import { freshDirectory, removeDirectory, startProgram, type Program } from '../support/program.ts';
import { NO_TIES, SPECIMEN } from '../support/specimen.ts';
import { asker } from '../support/workshop-asker.ts';
import { changedText, COPY } from '../support/workshop.ts';

const NARROW = { width: 360, height: 780 };
const WIDE = { width: 1280, height: 900 };
/** 25 beside the 100 of all sections: a fifth of a composite in which every section is rated. */
const RULE = { weight: 25, content: 0, notContent: 5 };
const PROTOCOL = { id: 'weighed-access', version: '1.1.0' };
const WHY = 'Sits well and cleans easily (invented).';

describe.skipIf(noBrowser())('EN-4: endorsements that a protocol weighs', () => {
  let program: Program;
  let browser: Browser;
  let moderator: SeatClient;
  let panel = '';
  let desk: Seat;
  let sheet: Seat;
  const others: SeatClient[] = [];
  const evaluations: string[] = [];

  /** Both widths: axe, nothing beyond the edge, a picture of each. */
  const looked = async (page: Page, name: string): Promise<void> => {
    for (const [width, viewport] of [
      ['360', NARROW],
      ['1280', WIDE],
    ] as const) {
      await page.setViewportSize(viewport);
      const over = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
      expect(over, `${name} ${width}`).toBeLessThanOrEqual(0);
      expect(await axeViolations(page), `${name} ${width}`).toEqual([]);
      await picture(page, `${name}-${width}`, true);
    }
  };

  const publish = async (): Promise<void> => {
    const lead = asker(program.url, moderator.cookie);
    const draft = (await lead.post(COPY)).body.result?.draft ?? '';
    const text = changedText((p) =>
      Object.assign(p, PROTOCOL, { title: 'Weighed access (invented)', endorsement: RULE }),
    );
    await lead.post({ type: 'save-draft', draft, revision: 1, text });
    const note = 'The statements of reviewers weigh a fifth.';
    const done = await lead.post({ type: 'publish-draft', draft, revision: 2, note });
    expect(done.status).toBe(200);
  };

  const link = async (role: 'moderator' | 'reviewer'): Promise<string> => {
    const ask = { type: 'invite', role, label: '', by: 'link', until: null, seat: null } as const;
    const made = await moderator.onPanel(panel, ask);
    if (made?.kind !== 'invitation') throw new Error('no invitation');
    return made.secret;
  };

  const evaluation = async (title: string): Promise<string> => {
    const made = await moderator.onPanel(panel, {
      type: 'create-evaluation',
      title,
      specimen: SPECIMEN,
      protocol: PROTOCOL,
    });
    if (made?.kind !== 'evaluation') throw new Error('no evaluation');
    await moderator.watch(made.evaluation);
    await moderator.onEvaluation(inventedFitCommand(moderator.view.me?.seat ?? ''));
    evaluations.push(made.evaluation);
    return made.evaluation;
  };

  /** Sealed, rated by three with two tasks each, and opened. */
  const rated = async (title: string): Promise<string> => {
    const made = await evaluation(title);
    await moderator.onEvaluation({ type: 'start-round' });
    for (const who of others) {
      await who.watch(made);
      await who.until('the round starts', (v) => v.me?.sheets.length === 1);
      const own = await who.openSheet(1);
      const at = new Date().toISOString();
      for (const task of ['pulse-check', 'airway-open']) own.set(task, { answer: 1, at });
      await own.saved();
      own.close();
      await who.onEvaluation({ type: 'finish-sheet' });
    }
    await moderator.onEvaluation({ type: 'open-round', withMissing: true });
    return made;
  };

  beforeAll(async () => {
    program = await startProgram(freshDirectory());
    browser = await launchBrowser();
    const { url } = program;
    moderator = await SeatClient.signIn(url, program.signInLink ?? '');
    const made = await moderator.must({
      on: 'workspace',
      command: { type: 'create-panel', title: 'Weighed', occasion: '', moderatorName: 'Mara' },
    });
    if (made?.kind !== 'panel') throw new Error('no panel');
    ({ panel } = made);
    await moderator.onPanel(panel, NO_TIES);
    await publish();
    desk = await person(browser, LAPTOP);
    sheet = await person(browser, NARROW);
    await takeByLink(desk.page, `${url}/join#${await link('moderator')}`, 'Dana (invented)');
    await declareNothing(desk.page);
    await takeByLink(sheet.page, `${url}/join#${await link('reviewer')}`, 'Ana (invented)');
    await declareNothing(sheet.page);
    for (const name of ['Ben (invented)', 'Cem (invented)', 'Dora (invented)']) {
      const who = await SeatClient.join(url, await link('reviewer'), name);
      await who.onPanel(panel, NO_TIES);
      others.push(who);
    }
  }, 120_000);
  afterAll(async () => {
    for (const who of [moderator, ...others]) who.close();
    await browser.close();
    await program.stop();
    removeDirectory(program.directory);
  });

  test('the form of the sheet and the box before the lock say how much they weigh', async () => {
    const made = await rated('Heron 3 (invented)');
    const [ben, cem] = others;
    await ben?.onEvaluation({ type: 'endorse', content: true, reason: WHY });
    await cem?.onEvaluation({ type: 'endorse', content: false, reason: 'Presses at the jaw.' });

    const { page } = sheet;
    await page.goto(`${program.url}/evaluation/${made}/sheet`);
    await page.getByText('Would you be content to see it worn?').first().click();
    await page.getByText(/20 % of the composite, and more where sections stay unrated/u).waitFor();
    await looked(page, '70-endorse-form');
    await page.getByRole('radio', { name: 'Content', exact: true }).check();
    await page
      .getByLabel(/^Reason|^Why|Your reason/u)
      .last()
      .fill(WHY);
    await looked(page, '71-endorse-filled');

    await desk.page.goto(`${program.url}/evaluation/${made}/desk`);
    const box = desk.page.getByTestId('lock');
    await box.getByText(/gives those statements 20 % of the composite, and more where/u).waitFor();
    await looked(desk.page, '72-lock-box');
  });

  test('public page, record and comparison give the composite with them and without', async () => {
    const second = await rated('Heron 1 (invented)');
    const lockIt = async (id: string): Promise<void> => {
      await moderator.watch(id);
      await moderator.onEvaluation({ type: 'adopt-undisputed' });
      await moderator.onEvaluation({ type: 'lock', meaning: 'Invented.' });
    };
    await others[0]?.onEvaluation({ type: 'endorse', content: true, reason: WHY });
    for (const id of evaluations) await lockIt(id);
    const [first = ''] = evaluations;
    // Sections of 20 and 14 at step 1; 25 of 59 is what the statements weigh, here at 2.5: (34 + 62.5) / 59.
    const made = await moderator.onPanel(panel, {
      type: 'publish-link',
      evaluation: first,
      what: 'record',
      names: false,
    });
    if (made?.kind !== 'link') throw new Error('no link');
    const reader = await person(browser, NARROW);
    await reader.page.goto(`${program.url}/public#${made.secret}`);
    await reader.page.getByText(/^Of which 42 % endorsements, 2\.5/u).waitFor();
    expect(await reader.page.locator('main').innerText()).toContain('1.64');
    await looked(reader.page, '73-public');

    const { page } = desk;
    await page.goto(`${program.url}/evaluation/${first}/record`);
    await page.getByText('The same without endorsements').first().waitFor();
    await looked(page, '74-record');
    // A phone has no room beside a bar, and tells below it what the composite is made of.
    await page.setViewportSize(NARROW);
    const note = page.getByRole('cell', { name: /of which endorsement 42 %, at 2\.50$/u }).first();
    expect(await note.isVisible()).toBe(true);
    await page.goto(`${program.url}/compare?ids=${first},${second}`);
    await page.getByText('of which 42 % endorsements; 1.00 without them').first().waitFor();
    await looked(page, '75-compare');
    for (const seat of [desk, sheet, reader]) expect(seat.faults).toEqual([]);
  });
});
