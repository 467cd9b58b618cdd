import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { axeViolations } from '../support/axe.ts';
import { launchBrowser, noBrowser } from '../support/chromium.ts';
import {
  declareNothing,
  goWithoutFit,
  invite,
  LAPTOP,
  openPanel,
  person,
  PHONE,
  picture,
  takeByLink,
  type Seat,
} from '../support/people.ts';
import { freshDirectory, removeDirectory, startProgram, type Program } from '../support/program.ts';

const HEAD = 'task,reviewer,rating,reason,note';
const GOOD = [
  'airway-open,Ines (invented),2,,Jaw thrust under the strap.',
  'airway-open,Omar (invented),3,,',
  'airway-open,Ada (invented),2,,',
  'fit-retention,Ines (invented),1,,',
  'fit-retention,Omar (invented),1,,',
  'fit-retention,Ada (invented),1,,',
  'wear-comfort,Ines (invented),N/A,Nobody wore it that day,',
  'wear-comfort,Omar (invented),,,',
];

describe.skipIf(noBrowser())('ratings from paper', () => {
  let program: Program;
  let browser: Browser;
  let moderator: Seat;
  let ada: Seat;

  const looked = async (page: Page, name: string): Promise<void> => {
    const over = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
    expect(over, name).toBeLessThanOrEqual(0);
    expect(await axeViolations(page), name).toEqual([]);
    await picture(page, name, true);
  };
  const file = (name: string, lines: readonly string[]): string => {
    const path = join(program.directory, name);
    writeFileSync(path, `${lines.join('\n')}\n`);
    return path;
  };

  beforeAll(async () => {
    program = await startProgram(freshDirectory());
    browser = await launchBrowser();
    moderator = await person(browser, LAPTOP);
    ada = await person(browser, PHONE);
    await openPanel(moderator.page, program.signInLink ?? '');
    await takeByLink(ada.page, (await invite(moderator.page, 'Reviewer')).link, 'Ada (invented)');
    await declareNothing(ada.page);
  });
  afterAll(async () => {
    await browser.close();
    await program.stop();
    removeDirectory(program.directory);
  });

  test('a faulty file says every fault by line, and nothing is brought in', async () => {
    const { page } = moderator;
    await page.reload();
    await page.getByLabel('Sport').fill('gridiron');
    await page.getByLabel('Maker', { exact: true }).fill('Larkmoor (invented)');
    await page.getByLabel('Model', { exact: true }).fill('Heron 3');
    await page.getByRole('button', { name: 'Make an evaluation' }).click();
    await goWithoutFit(page);
    await page.getByRole('button', { name: 'Bring in ratings from paper' }).click();
    const faulty = [
      HEAD,
      ...GOOD,
      'airway-opened,Ines (invented),2,,',
      'pulse-check,Omar (invented),7,,',
    ];
    await page.getByLabel('Choose the file').setInputFiles(file('paper day.csv', faulty));
    await page.getByText('2 faults').waitFor();
    expect(await page.getByText('Line 10, task').count()).toBe(1);
    expect(await page.getByRole('button', { name: /^Bring in/u }).isDisabled()).toBe(true);
    await looked(page, '70-paper-faults');
    await page.setViewportSize(PHONE);
    await looked(page, '71-paper-faults-phone');
    await page.setViewportSize(LAPTOP);
  });

  test('the mended file is matched, brought in, and says so on desk, panel and record', async () => {
    const { page } = moderator;
    await page
      .getByLabel('Choose another file')
      .setInputFiles(file('paper day.csv', [HEAD, ...GOOD]));
    await page.getByText('3 people').waitFor();
    // The reviewer of the panel is found by name.
    const matched = page.getByLabel('Ada (invented)');
    expect(await matched.locator('option:checked').innerText()).toContain(
      'Same person as reviewer A',
    );
    await looked(page, '72-paper-check');
    await page.getByRole('button', { name: /^Bring in/u }).click();
    await page.getByText('Say that these are the ratings as they were written.').waitFor();
    await page.getByLabel('I have these ratings').check();
    await page.getByRole('button', { name: 'Bring in 7 ratings from paper' }).click();
    await page.getByTestId('stage').getByText('Imported from paper: not sealed here').waitFor();
    expect(await page.getByRole('button', { name: 'Second round' }).count()).toBe(0);
    await looked(page, '73-paper-desk');
    await page
      .getByRole('button', { name: /^Adopt/u })
      .first()
      .click();
    await page.getByRole('button', { name: 'Lock the evaluation' }).click();
    await page.getByRole('dialog').getByRole('button', { name: 'Lock and sign' }).click();
    await page.getByRole('button', { name: 'Record', exact: true }).first().click();
    await page.getByText('Imported from paper: these ratings were not sealed').first().waitFor();
    expect(
      await page.getByText('Imported from paper: these ratings were not sealed').count(),
    ).toBeGreaterThan(4);
    expect(await page.getByText('paper day.csv').count()).toBeGreaterThan(0);
    await looked(page, '74-paper-record');
    expect(moderator.faults).toEqual([]);
  });

  test('the reviewer who was matched sees it, and the panel shows seats that nobody sits on', async () => {
    await ada.page.getByRole('button', { name: 'My sheet' }).click();
    await ada.page.getByText('Imported from paper: not sealed here').waitFor();
    await looked(ada.page, '75-paper-sheet');
    const { page } = moderator;
    await page.goto(`${program.url}/`);
    await page.getByText('Autumn helmets (invented)').click();
    await page.getByText('rated on paper, nobody sits here').first().waitFor();
    await looked(page, '76-paper-panel');
  });
});
