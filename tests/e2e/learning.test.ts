import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { axeViolations } from '../support/axe.ts';
import { launchBrowser, noBrowser } from '../support/chromium.ts';
import {
  declareNothing,
  invite,
  LAPTOP,
  person,
  PHONE,
  picture,
  rateStep,
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

describe.skipIf(noBrowser())('learning from locked evaluations', () => {
  const directory = freshDirectory();
  let program: Program;
  let browser: Browser;
  let lead: Seat;
  let newcomer: Seat;

  const looked = async (page: Page, name: string): Promise<void> => {
    const over = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
    expect(over, name).toBeLessThanOrEqual(0);
    expect(await axeViolations(page), name).toEqual([]);
    await picture(page, name, true);
  };

  beforeAll(async () => {
    const made = await runProgram(['demo', '--data-dir', directory]);
    expect(made.code, made.err).toBe(0);
    program = await startProgram(directory, 0, {}, ['--new-sign-in-link']);
    browser = await launchBrowser();
    lead = await person(browser, LAPTOP);
    newcomer = await person(browser, PHONE);
    await lead.page.goto(program.signInLink ?? '');
    await lead.page.getByRole('button', { name: 'Sign in' }).click();
    await lead.page.getByText('Autumn 2025 (invented)').click();
    await lead.page.getByRole('heading', { name: 'Seats' }).waitFor();
  });
  afterAll(async () => {
    await browser.close();
    await program.stop();
    removeDirectory(directory);
  });

  test('the lead reads a reviewer’s ratings over time', async () => {
    const { page } = lead;
    await page.getByRole('button', { name: 'Ratings over time' }).first().click();
    await page.getByRole('heading', { name: 'Habit: above or below the panel' }).waitFor();
    await page.getByText('Only this reviewer and you see this page.').waitFor();
    expect(await page.getByText(/From \d+ locked evaluation/u).count()).toBe(1);
    expect(await page.getByText('No practice is shown to you.').count()).toBe(1);
    await looked(page, '80-learning-lead');
    await page.getByRole('button', { name: 'Back to the panel' }).click();
  });

  test('a moderator reads how the protocol does, with its number of evaluations', async () => {
    const { page } = lead;
    await page.getByRole('button', { name: 'How the protocol does' }).click();
    const versions = page.getByLabel('Protocol version');
    await versions.waitFor();
    // Of the demonstration's two versions the older one has evaluations enough.
    await versions.selectOption({ label: 'Sideline Access Protocol, demo (invented) 1.0.0' });
    await page.getByTestId('protocol-n').waitFor();
    await page.getByText(/\d+ locked evaluations, [\d,]+ counted ratings\./u).waitFor();
    await page.getByText(/Only \d evaluations: what stands here/u).waitFor();
    await page.getByTestId('low').waitFor();
    await page.getByText('Every task').click();
    await looked(page, '81-protocol-page');
    await page.setViewportSize(PHONE);
    await looked(page, '82-protocol-page-phone');
    await page.setViewportSize(LAPTOP);
    await page.goBack();
  });

  test('somebody new practises on a phone, sealed; no result is to be had meanwhile', async () => {
    const { page } = newcomer;
    const { link } = await invite(lead.page, 'Reviewer');
    await takeByLink(page, link, 'Nadia (invented)');
    await declareNothing(page);
    await page.getByRole('button', { name: 'My ratings over time' }).click();
    await page.getByText(/Nothing yet: this page begins/u).waitFor();
    await looked(page, '83-learning-empty');
    await page.getByRole('button', { name: 'Back to the panel' }).click();
    await page.getByRole('button', { name: 'Practise on a locked evaluation' }).click();
    await page
      .getByRole('button', { name: /^Begin/u })
      .first()
      .waitFor();
    await looked(page, '84-practices');
    await page
      .getByRole('button', { name: /^Begin/u })
      .first()
      .click();
    await page.getByText(/Sealed: your ratings stay on this device/u).waitFor();
    await rateStep(page, 4);
    await page.getByRole('button', { name: 'Next', exact: true }).click();
    await rateStep(page, 1);
    await page.getByText(/^2 of \d+ tasks answered/u).waitFor();
    // What was rated is there after the page is loaded anew.
    await page.reload();
    await page.getByText(/^2 of \d+ tasks answered/u).waitFor();
    await looked(page, '85-practice');
    const practice = page.url();
    await page.getByRole('link', { name: 'Catalogue' }).click();
    await page.getByText(/You are practising/u).waitFor();
    await picture(page, '86-practising-catalogue', true);
    await page.goto(practice);
    await page.getByRole('button', { name: 'Finish and compare' }).click();
    const dialog = page.getByRole('dialog');
    await dialog.getByText(/^\d+ tasks have no answer/u).waitFor();
    await dialog.getByRole('button', { name: 'Finish and compare' }).click();
    await page.getByRole('heading', { name: /^You and the panel/u }).waitFor();
    await page.getByText(/steps from the settled value on average/u).waitFor();
    expect(await page.getByTestId('shared').innerText()).toBe('Shown to nobody');
    await looked(page, '87-practice-compared');
    await page.getByRole('link', { name: 'Catalogue' }).click();
    await page.getByText(/of 10 evaluations/u).waitFor();
    await page.goto(practice);
  });

  test('the lead sees the practice once it is shown, and not before', async () => {
    const open = async (): Promise<void> => {
      await lead.page.reload();
      const row = lead.page.getByRole('listitem').filter({ hasText: 'Nadia (invented)' });
      await row.getByRole('button', { name: 'Ratings over time' }).click();
      await lead.page.getByRole('heading', { name: 'Practice' }).waitFor();
    };
    await open();
    expect(await lead.page.getByText('No practice is shown to you.').count()).toBe(1);
    await lead.page.getByRole('button', { name: 'Back to the panel' }).click();
    await newcomer.page.getByRole('button', { name: 'Show it to the lead' }).click();
    await newcomer.page.getByText('Shown to the lead').waitFor();
    await open();
    await lead.page.locator('details summary').first().click();
    await lead.page.getByText(/steps from the settled value on average/u).waitFor();
    await looked(lead.page, '88-learning-practice');
    expect([...lead.faults, ...newcomer.faults]).toEqual([]);
  });
});
