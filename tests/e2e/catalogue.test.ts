import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { axeViolations } from '../support/axe.ts';
import { launchBrowser, noBrowser } from '../support/chromium.ts';
import { noPoppler, poppler } from '../support/paper-of.ts';
import { pdfUaFaults } from '../support/pdf-ua-faults.ts';
import { LAPTOP, person, PHONE, picture, type Seat } from '../support/people.ts';
import {
  freshDirectory,
  removeDirectory,
  runProgram,
  startProgram,
  type Program,
} from '../support/program.ts';

const REASON = 'Invented: the guard on the bench was not the one that is sold.';

/** The row of a piece in the catalogue. */
const rowOf = (page: Page, title: string) =>
  page.getByRole('row').filter({ has: page.getByLabel(`Compare ${title}`, { exact: true }) });

describe.skipIf(noBrowser())('the catalogue', () => {
  const directory = freshDirectory();
  let program: Program;
  let browser: Browser;
  let lead: Seat;
  let publicLinks: string[];
  let again: { code: number | null; err: string };

  beforeAll(async () => {
    const made = await runProgram(['demo', '--data-dir', directory]);
    expect(made.code, made.err).toBe(0);
    again = await runProgram(['demo', '--data-dir', directory]);
    publicLinks = [...made.out.matchAll(/\/public#\S+/gu)].map(([link]) => link);
    program = await startProgram(directory, 0, {}, ['--new-sign-in-link']);
    browser = await launchBrowser();
    lead = await person(browser, LAPTOP);
    await lead.page.goto(program.signInLink ?? '');
    await lead.page.getByRole('button', { name: 'Sign in' }).click();
    await lead.page.getByText('Autumn 2025 (invented)').waitFor();
  });
  afterAll(async () => {
    await browser.close();
    await program.stop();
    removeDirectory(directory);
  });

  test('a second demonstration is not put beside what is there', () => {
    expect(again.code).toBe(2);
    expect(again.err).toContain('holds a workspace already');
  });

  test('searched, filtered, compared: what is not comparable says so, and every page says that it is invented', async () => {
    const { page } = lead;
    await page.getByRole('link', { name: 'Catalogue' }).click();
    await page.getByText('10 of 10 evaluations').waitFor();
    expect(await page.getByTestId('invented').isVisible()).toBe(true);
    await picture(page, '40-catalogue', true);
    expect(await axeViolations(page)).toEqual([]);
    await page.getByLabel(/^Search/u).fill('brackenholt meadow');
    await page.getByText('3 of 10 evaluations').waitFor();
    await page.getByLabel('Verdict').selectOption({ label: 'Care was blocked (1)' });
    await page.getByText('1 of 10 evaluations').waitFor();
    expect(page.url()).toContain('verdict=care-was-blocked');
    await page.getByRole('button', { name: 'Clear all filters' }).click();
    await page.getByText('10 of 10 evaluations').waitFor();
    for (const title of [
      'Brackenholt Meadow One (invented)',
      'Brackenholt Meadow One, hinged guard (invented)',
      'Larkmoor Heron 3 (invented)',
    ]) {
      await rowOf(page, title).getByRole('checkbox').check();
    }
    await page.getByRole('button', { name: 'Compare 3' }).click();
    await page.getByTestId('not-comparable').waitFor();
    expect(await page.getByTestId('not-comparable').innerText()).toContain(
      'different protocol versions',
    );
    expect(await page.getByRole('img').count()).toBeGreaterThan(1);
    // Curves stand together where the protocol version and the ladder are the same.
    await page.getByTestId('access-compared').first().waitFor();
    expect(await page.getByTestId('access-compared').count()).toBe(2);
    const curves = page.getByTestId('access-compared').getByRole('img');
    expect(await curves.first().getAttribute('aria-label')).toMatch(
      /Half of the cases have access/u,
    );
    await page.getByText('Every pair').click();
    await picture(page, '41-compare', true);
    expect(await axeViolations(page)).toEqual([]);
  });

  test('the care card of a piece fits its page and names what was not tested', async () => {
    const { page } = lead;
    await page.goto(`${program.url}/catalogue`);
    const row = rowOf(page, 'Brackenholt Meadow One (invented)');
    await row.getByRole('link', { name: /^Care card/u }).click();
    const card = page.getByTestId('care-card');
    await card.waitFor();
    const text = await card.innerText();
    expect(text).toContain('Your local protocol and medical direction come first.');
    expect(text).toContain('Care was blocked at: Bag-valve-mask');
    expect(text).toMatch(
      /Taking the helmet off 2 of 5, done in 9 of 9 attempts, middle time \d+ s/u,
    );
    expect(text.match(/No timed attempt on record:/gu)).toHaveLength(1);
    expect(text).toMatch(/Not tested[\s\S]*Placing AED pads/u);
    await picture(page, '42-care-card', true);
    expect(await axeViolations(page)).toEqual([]);
    const pdf = await page.pdf({ format: 'A4', margin: { top: '8mm', bottom: '8mm' } });
    expect(pdf.toString('latin1').match(/\/Type\s*\/Page\b/gu)).toHaveLength(1);
  });

  test('PU-3: published, then withdrawn: the public link keeps answering and says so, to anybody', async () => {
    const { page } = lead;
    await page.goto(`${program.url}/catalogue`);
    const row = rowOf(page, 'Brackenholt Meadow One (invented)');
    await row.getByRole('link', { name: /^Publish or correct/u }).click();
    await page.getByRole('button', { name: 'Make a link to the record' }).click();
    const link = await page.getByTestId('public-link').innerText();
    const reader = await person(browser, PHONE);
    await reader.page.goto(link);
    await reader.page.getByTestId('verdict').waitFor();
    expect(await reader.page.getByTestId('record-state').count()).toBe(0);
    await picture(reader.page, '43-public-record-phone', true);

    await page.getByRole('button', { name: 'Withdraw the record' }).click();
    const dialog = page.getByRole('dialog');
    await dialog.getByRole('textbox').fill(REASON);
    await dialog.getByRole('button', { name: 'Withdraw the record' }).click();
    await page
      .getByTestId('record-state')
      .getByText(/^Withdrawn on/u)
      .waitFor();
    await picture(page, '44-publish-withdrawn', true);
    expect(await axeViolations(page)).toEqual([]);

    await reader.page.reload();
    const note = reader.page.getByTestId('record-state');
    await note.waitFor();
    expect(await note.innerText()).toContain(REASON);
    expect(await reader.page.getByTestId('verdict').innerText()).toContain('Care was blocked');
    await picture(reader.page, '45-public-withdrawn-phone');
    expect(await axeViolations(reader.page)).toEqual([]);

    await page.getByRole('button', { name: 'End this link' }).click();
    await page.getByText(/: ended$/u).waitFor();
    await reader.page.reload();
    await reader.page.getByText('The panel has ended this link.').waitFor();
    expect([...lead.faults, ...reader.faults]).toEqual([]);
  });

  test('RE-9: every page of a demonstration evaluation and every file of it says that it is invented', async () => {
    const { page } = lead;
    const rows = (await (await page.request.get(`${program.url}/api/catalogue`)).json()) as {
      rows: { evaluation: string }[];
    };
    const id = rows.rows[0]?.evaluation ?? '';
    for (const path of ['desk', 'record', 'publish', 'trials', 'access', 'safety', 'wall']) {
      await page.goto(`${program.url}/evaluation/${id}/${path}`);
      await page.getByTestId('invented').waitFor();
    }
    await picture(page, '47-wall-invented');
    await page.goto(`${program.url}/card/${id}`);
    await page.getByTestId('invented').waitFor();
    const file = async (path: string): Promise<Buffer> =>
      (await page.request.get(`${program.url}/api/evaluations/${id}/${path}`)).body();
    for (const name of ['ratings', 'tasks', 'events', 'trials', 'counted']) {
      const [head, ...lines] = (await file(`data/${name}.csv`)).toString('utf8').trim().split('\n');
      expect(head, name).toMatch(/,invented$/u);
      expect(lines.length, name).toBeGreaterThan(0);
    }
    expect((await file('bundle')).toString('utf8')).toContain('\\"invented\\":true');
    const pdf = await file('report');
    expect([...new Set(pdfUaFaults(pdf))]).toEqual([]);
    if (!noPoppler())
      expect(poppler('pdftotext', pdf)).toContain('Invented demonstration material');
  });

  test('the links of the demonstration open without signing in: a card, and a record that was superseded', async () => {
    const reader = await person(browser, PHONE);
    const [card, record] = publicLinks;
    await reader.page.goto(`${program.url}${card ?? ''}`);
    await reader.page.getByTestId('care-card').waitFor();
    await picture(reader.page, '46-public-card-phone', true);
    expect(await axeViolations(reader.page)).toEqual([]);
    await reader.page.goto('about:blank');
    await reader.page.goto(`${program.url}${record ?? ''}`);
    await reader.page.getByText(/^Superseded on/u).waitFor();
    expect(reader.faults).toEqual([]);
  });
});
