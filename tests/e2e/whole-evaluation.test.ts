import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, describe, expect, test } from 'vitest';
import { launchBrowser, noBrowser } from '../support/chromium.ts';
import { cuttingProxy, type CuttingProxy } from '../support/cutting-proxy.ts';
import { axeViolations } from '../support/axe.ts';
import {
  declareNothing,
  goWithoutFit,
  HD,
  invite,
  LAPTOP,
  next,
  openPanel,
  person,
  PHONE,
  picture,
  rateAll,
  rateStep,
  reasonDialog,
  saved,
  takeByCode,
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

/** What each reviewer rates, task by task in protocol order; null is "does not apply". */
const base: (number | null)[] = Array.from({ length: 30 }, (_, i) =>
  [7, 8, 9].includes(i) ? null : i % 3,
);
const withStep = (at: Record<number, number>): (number | null)[] =>
  base.map((step, i) => at[i] ?? step);
/** The second reviewer stands alone on task 4; the third proposes a critical failure on task 14. */
const PLANS = { A: base, B: withStep({ 3: 4 }), C: withStep({ 13: 5 }), D: withStep({ 0: 1 }) };

const REASON = 'Talked through at the bench with the specimen in hand.';

describe.skipIf(noBrowser())('a panel in real browsers, from invitation to verified bundle', () => {
  let program: Program;
  let browser: Browser;
  /** The far reviewer's line. */
  let line: CuttingProxy;
  const seats: Record<string, Seat> = {};
  const page = (who: string): Page => {
    const seat = seats[who];
    if (!seat) throw new Error(`nobody is ${who}`);
    return seat.page;
  };

  beforeAll(async () => {
    program = await startProgram(freshDirectory());
    browser = await launchBrowser();
    line = await cuttingProxy(program.url);
  });
  afterAll(async () => {
    await browser.close();
    await line.close();
    await program.stop();
    removeDirectory(program.directory);
  });

  afterEach(async ({ task }) => {
    if (task.result?.state !== 'fail') return;
    for (const [who, seat] of Object.entries(seats))
      await picture(seat.page, `failed-${who}`, true);
  });

  test('the panel is seated by codes and links, on laptop, tablet and phone', async () => {
    seats['moderator'] = await person(browser, LAPTOP);
    const moderator = page('moderator');
    await openPanel(moderator, program.signInLink ?? '');
    for (const [letter, viewport] of [
      ['A', LAPTOP],
      ['B', PHONE],
      ['C', { width: 800, height: 1100 }],
      ['D', LAPTOP],
    ] as const) {
      seats[letter] = await person(browser, viewport);
      const { link, code } = await invite(moderator, 'Reviewer', letter === 'D' ? 'link' : 'code');
      if (letter === 'B') await picture(moderator, '02-panel', true);
      if (letter === 'A') await takeByCode(page('A'), program.url, code, 'Ada (invented)');
      else {
        const way = letter === 'D' ? link.replace(program.url, line.url) : link;
        await takeByLink(page(letter), way, `Reviewer ${letter} (invented)`);
      }
      await page(letter).getByRole('radio', { name: 'I have no such ties' }).waitFor();
      if (letter === 'B') await picture(page('B'), '03-declare', true);
      if (letter === 'B') expect(await axeViolations(page('B'))).toEqual([]);
      await declareNothing(page(letter));
    }
    seats['wall'] = await person(browser, HD);
    await takeByLink(page('wall'), (await invite(moderator, 'Wall display')).link, '');
    seats['observer'] = await person(browser, LAPTOP);
    await takeByLink(
      page('observer'),
      (await invite(moderator, 'Observer')).link,
      'Olu (invented)',
    );
    await expect.poll(() => moderator.getByText('here now').count()).toBeGreaterThanOrEqual(6);
  });

  test('the secret of a link leaves the address at once', async () => {
    expect(page('D').url()).not.toContain('#');
  });

  test('an evaluation is made for a specimen and its round sealed', async () => {
    const moderator = page('moderator');
    await moderator.getByLabel('Sport').fill('gridiron');
    await moderator.getByLabel('Maker').fill('Larkmoor Guardworks (invented)');
    await moderator.getByLabel('Model', { exact: true }).fill('Heron 3');
    await moderator.getByRole('button', { name: 'Make an evaluation' }).click();
    await moderator.getByRole('button', { name: /Start round 1/u }).click();
    await moderator
      .getByTestId('stage')
      .getByText(/Sealed/u)
      .waitFor();
    await goWithoutFit(moderator);
    for (const letter of ['A', 'B', 'C', 'D']) {
      await page(letter).getByRole('button', { name: 'My sheet' }).click();
      await page(letter).getByRole('radio').first().waitFor();
    }
    await page('observer').getByRole('button', { name: 'Follow' }).click();
    await page('wall')
      .getByText(/^Rating, sealed/u)
      .waitFor();
    await picture(page('B'), '04-sheet', true);
    await picture(page('wall'), '05-wall-sealed');
    for (const who of ['B', 'wall', 'observer', 'moderator']) {
      expect(await axeViolations(page(who)), who).toEqual([]);
    }
  });

  test('ratings are kept, survive a reload, and are saved only when the server says so', async () => {
    await rateAll(page('A'), PLANS.A);
    await saved(page('A'));
    await rateStep(page('B'), 0);
    await saved(page('B'));
    await picture(page('B'), '06-sheet-rated');
    await page('B').reload();
    await page('B').getByRole('radio', { name: /^none/iu }).waitFor();
    expect(await page('B').getByRole('radio', { name: /^none/iu }).isChecked()).toBe(true);
    await rateAll(page('B'), PLANS.B);
    await saved(page('B'));
  });

  test('a proposed critical failure needs a reason and a second word', async () => {
    const c = page('C');
    await rateAll(c, PLANS.C.slice(0, 14));
    await c.getByRole('button', { name: 'Propose a critical failure' }).click();
    expect(await c.evaluate(() => document.activeElement?.textContent)).toContain('Go back');
    await reasonDialog(c, 'Still attached at the cap, twice.', 'Propose it');
    await c.getByText('Critical failure proposed').waitFor();
    await next(c);
    await rateAll(c, PLANS.C.slice(14));
    await saved(c);
  });

  test('a reviewer who loses the network goes on rating on the device', async () => {
    const d = page('D');
    await rateAll(d, PLANS.D.slice(0, 2));
    await saved(d);
    line.cut();
    await d.getByText('Kept on this device, waiting for the server').waitFor();
    await next(d);
    await rateAll(d, PLANS.D.slice(2, 5));
    await d.getByText('Kept on this device, waiting for the server').waitFor();
    await picture(d, '07-offline');
  });

  test('nobody sees a rating before the opening; the moderator sees who is finished', async () => {
    for (const letter of ['A', 'B', 'C']) {
      await page(letter)
        .getByRole('button', { name: /^I am finished/u })
        .click();
    }
    const moderator = page('moderator');
    await moderator.getByRole('button', { name: 'Open with 3 of 4 finished' }).waitFor();
    for (const who of ['moderator', 'wall', 'observer']) {
      expect(await page(who).getByTestId('opened-task').count()).toBe(0);
      expect(await page(who).content()).not.toContain('Still attached at the cap');
    }
    await picture(moderator, '08-desk-sealed');
  });

  test('opening asks twice while somebody is missing, then shows everybody at once', async () => {
    const moderator = page('moderator');
    await moderator.getByRole('button', { name: 'Open with 3 of 4 finished' }).click();
    await moderator.getByText('Not finished: D.').waitFor();
    await moderator.getByRole('button', { name: 'Press again to open' }).click();
    await moderator
      .getByTestId('stage')
      .getByText(/Opened/u)
      .waitFor();
    for (const who of ['A', 'B', 'C', 'observer']) {
      await page(who).getByTestId('opened-task').first().waitFor();
    }
    const queue = moderator.getByTestId('queue').getByRole('listitem');
    await expect.poll(() => queue.count()).toBeGreaterThanOrEqual(2);
    // Worst first: the disputed critical failure, then the lone voice.
    await expect.poll(() => queue.first().innerText()).toContain('primary tool');
    expect(await queue.nth(1).innerText()).toMatch(/Reviewer B stands 4 steps/u);
    await moderator
      .getByTestId('agreement')
      .getByText(/alpha \(ordinal\): 0\.\d\d/u)
      .waitFor();
    // Computed in a thread of its own, told when it is there; reviewers never get it.
    const insight = moderator.getByTestId('insight');
    await insight.getByText('Without reviewer B').waitFor();
    const said = await insight.innerText();
    expect(said).toMatch(
      /The reviewers (?:do not )?tell the tasks apart alike|Good enough for|Alpha is low/u,
    );
    expect(said).toMatch(/dependable at \.80 \(now 0\.\d\d\)/u);
    expect(await page('A').getByTestId('insight').count()).toBe(0);
    await picture(moderator, '09-desk-opened', true);
    await page('wall').getByText('primary tool').waitFor();
    await picture(page('wall'), '10-wall-opened');
    await picture(page('B'), '11-sheet-opened', true);
    for (const who of ['B', 'wall', 'observer', 'moderator']) {
      expect(await axeViolations(page(who)), who).toEqual([]);
    }
  });

  test('ratings made offline before the opening arrive as late and are decided with a reason', async () => {
    line.mend();
    const moderator = page('moderator');
    await moderator.getByTestId('late').getByRole('listitem').first().waitFor();
    await picture(moderator, '12-late', true);
    const late = moderator.getByTestId('late');
    const waiting = late.getByRole('button', { name: 'Admit', exact: true });
    await expect.poll(() => waiting.count()).toBe(3);
    await waiting.first().click();
    await reasonDialog(moderator, 'Made before the opening by its clock.', 'Admit');
    await expect.poll(() => waiting.count()).toBe(2);
    await late.getByRole('button', { name: 'Leave out' }).first().click();
    await reasonDialog(moderator, 'The clock of the device is wrong.', 'Leave out');
    await expect.poll(() => waiting.count()).toBe(1);
    await late.getByRole('button', { name: 'Admit', exact: true }).first().click();
    await reasonDialog(moderator, 'Made before the opening by its clock.', 'Admit');
    await expect.poll(() => waiting.count()).toBe(0);
  });

  test('remarks and the shared note are live for all', async () => {
    const moderator = page('moderator');
    await moderator
      .getByTestId('queue')
      .getByRole('button', { name: /primary tool/u })
      .click();
    await moderator.getByLabel('Write a remark').fill('The screws were rusted, see the photo.');
    await moderator.getByRole('button', { name: 'Post', exact: true }).click();
    await page('A').getByRole('button', { name: /^14 / }).click();
    await page('A').getByText('The screws were rusted').waitFor();
    await page('A').getByLabel('Shared note').fill('Two of three screws spun.');
    await expect
      .poll(() => moderator.getByLabel('Shared note').inputValue())
      .toBe('Two of three screws spun.');
  });

  test('a second round on a chosen task is sealed again', async () => {
    const moderator = page('moderator');
    await moderator
      .getByTestId('queue')
      .getByRole('button', { name: /Reviewer B stands/u })
      .click();
    await moderator.getByRole('button', { name: 'Second round', exact: true }).click();
    await moderator.getByRole('button', { name: /Call the second round on 1 task/u }).click();
    await moderator
      .getByTestId('stage')
      .getByText(/Round 2/u)
      .waitFor();
    const b = page('B');
    await b.getByText('Your rating in the round before: 4 severe').waitFor();
    await rateStep(b, 1);
    await saved(b);
    await picture(b, '13-second-round', true);
    for (const letter of ['A', 'C']) {
      await rateStep(page(letter), 0);
      await saved(page(letter));
    }
    for (const letter of ['A', 'B', 'C']) {
      await page(letter)
        .getByRole('button', { name: /^I am finished/u })
        .click();
    }
    await moderator.getByRole('button', { name: /Open with 3 of 4/u }).click();
    await moderator.getByRole('button', { name: 'Press again to open' }).click();
    await moderator
      .getByTestId('stage')
      .getByText(/Opened/u)
      .waitFor();
    await page('A').getByText('The round is open').waitFor();
  });

  test('the moderator settles, decides the critical failure, and locks', async () => {
    const moderator = page('moderator');
    await moderator
      .getByTestId('queue')
      .getByRole('button', { name: /primary tool/u })
      .click();
    await moderator.getByTestId('gate').getByRole('button', { name: 'Reject' }).click();
    await reasonDialog(moderator, 'One trial of three only; the criterion was not met.', 'Reject');
    await moderator.getByTestId('settle').getByRole('button', { name: 'Decide' }).click();
    await moderator.getByRole('dialog').getByLabel('Value').selectOption('2.5');
    await reasonDialog(moderator, REASON, 'Settle');
    const blocked = moderator.getByTestId('queue').getByText('primary tool');
    await expect.poll(() => blocked.count()).toBe(0);
    for (;;) {
      const first = moderator.getByTestId('queue').getByRole('listitem').first();
      if ((await first.count()) === 0) break;
      const text = await first.innerText();
      await first.getByRole('button').click();
      await moderator.getByTestId('settle').getByRole('button', { name: 'Leave open' }).click();
      await reasonDialog(moderator, REASON, 'Leave open');
      await expect
        .poll(async () => ((await first.count()) === 0 ? '' : await first.innerText()))
        .not.toBe(text);
    }
    await moderator.getByRole('button', { name: /^Adopt \d+ undisputed/u }).click();
    await moderator.getByTestId('lock').getByText('Undisputed tasks adopted').waitFor();
    await picture(moderator, '14-ready-to-lock', true);
    await moderator.getByRole('button', { name: 'Lock the evaluation' }).click();
    await moderator.getByRole('dialog').getByRole('button', { name: 'Lock and sign' }).click();
    await moderator.getByTestId('stage').getByText('Locked').waitFor();
    await page('A').getByText('Locked', { exact: true }).waitFor();
  });

  test('the record says what was found, and the bundle verifies offline', async () => {
    const moderator = page('moderator');
    await moderator.getByRole('button', { name: 'Record' }).click();
    await moderator
      .getByTestId('verdict')
      .getByText('No critical failure was confirmed')
      .waitFor({ timeout: 90_000 });
    const verdict = await moderator.getByTestId('record-verdict').innerText();
    await picture(moderator, '15-record', true);
    expect(await axeViolations(moderator)).toEqual([]);
    const [download] = await Promise.all([
      moderator.waitForEvent('download'),
      moderator.getByRole('link', { name: 'Bundle, signed' }).click(),
    ]);
    const file = join(program.directory, 'bundle.json');
    await download.saveAs(file);
    const good = await runProgram(['verify', file]);
    expect(good.out).toContain('HOLDS IN ITSELF');
    expect(good.code).toBe(0);
    const bundle = JSON.parse(readFileSync(file, 'utf8')) as {
      result: { composite: { value: { value: string } } };
    };
    expect(verdict).toContain(Number(bundle.result.composite.value.value).toFixed(2));
    const [paper] = await Promise.all([
      moderator.waitForEvent('download'),
      moderator.getByRole('link', { name: 'PDF, A4' }).click(),
    ]);
    const printed = join(program.directory, 'record.pdf');
    await paper.saveAs(printed);
    const again = join(program.directory, 'again.pdf');
    expect((await runProgram(['report', file, '--out', again])).code).toBe(0);
    expect(readFileSync(again).equals(readFileSync(printed))).toBe(true);
  });

  test('no page reported a fault', () => {
    for (const [who, seat] of Object.entries(seats)) expect(seat.faults, who).toEqual([]);
  });
});
