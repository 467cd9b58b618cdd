import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { axeViolations } from '../support/axe.ts';
import { launchBrowser, noBrowser } from '../support/chromium.ts';
import {
  invite,
  LAPTOP,
  openPanel,
  person,
  picture,
  takeByLink,
  type Seat,
} from '../support/people.ts';
import { freshDirectory, removeDirectory, startProgram, type Program } from '../support/program.ts';

const NARROW = { width: 360, height: 780 };
const WIDE = { width: 1280, height: 900 };

/** Nothing reaches beyond the right edge. */
const fits = async (page: Page): Promise<void> => {
  const over = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
  expect(over).toBeLessThanOrEqual(0);
};

describe.skipIf(noBrowser())('a protocol from a copy to an evaluation under it', () => {
  let program: Program;
  let browser: Browser;
  let lead: Seat;
  let ruth: Seat;
  let panel = '';

  /** Both widths: axe, nothing beyond the edge, a picture of each. */
  const looked = async (page: Page, name: string): Promise<void> => {
    for (const [width, viewport] of [
      ['360', NARROW],
      ['1280', WIDE],
    ] as const) {
      await page.setViewportSize(viewport);
      await fits(page);
      expect(await axeViolations(page), `${name} ${width}`).toEqual([]);
      await picture(page, `${name}-${width}`, true);
    }
  };
  const saved = (page: Page): Promise<void> =>
    page
      .getByTestId('save-state')
      .getByText(/^Saved as revision/u)
      .waitFor();
  const part = (page: Page) => page.getByLabel('Part of the protocol');
  const check = (page: Page) => page.getByTestId('faults');

  beforeAll(async () => {
    program = await startProgram(freshDirectory());
    browser = await launchBrowser();
    lead = await person(browser, LAPTOP);
    ruth = await person(browser, LAPTOP);
    await openPanel(lead.page, program.signInLink ?? '');
    panel = lead.page.url();
    const asModerator = await invite(lead.page, 'Moderator', 'link');
    await takeByLink(ruth.page, asModerator.link, 'Ruth (invented)');
  });
  afterAll(async () => {
    await browser.close();
    await program.stop();
    removeDirectory(program.directory);
  });

  test('the shipped version is copied, a task and a weight are changed, a fault is shown where it is', async () => {
    const { page } = lead;
    await page.getByRole('link', { name: 'Protocols' }).click();
    await page.getByText('came with the program').waitFor();
    await looked(page, '50-protocols');
    await page.getByRole('button', { name: 'Copy to a draft: Emergency access 1.0.0' }).click();
    await page.getByRole('heading', { name: 'Draft: Emergency access' }).waitFor();
    expect(await page.getByLabel('Version', { exact: true }).inputValue()).toBe('1.1.0');
    await check(page).getByText('No fault').waitFor();
    await looked(page, '51-draft');

    await part(page).selectOption({ label: '– Stays seated and fastened' });
    await page.getByLabel('Title', { exact: true }).fill('Stays seated when shaken');
    await page.getByLabel('Weight', { exact: true }).fill('heavy');
    await saved(page);
    const fault = check(page).getByRole('button', {
      name: /task “Stays seated when shaken”, Weight/u,
    });
    await fault.waitFor();
    expect(await page.getByRole('button', { name: 'Publish' }).isDisabled()).toBe(true);
    await looked(page, '52-draft-fault');
    await part(page).selectOption({ label: 'Cautions' });
    await page.getByLabel('What this is and is not').waitFor();
    await fault.click();
    const focused = (): Promise<string | undefined> =>
      page.evaluate(() => document.activeElement?.id);
    expect(await focused()).toBe('at/sections/0/tasks/0/weight');
    await page.keyboard.press('ControlOrMeta+A');
    await page.keyboard.type('1,5');
    await check(page).getByText('No fault').waitFor();
    await looked(page, '53-draft-task');
  });

  test('entries are moved by keyboard, and what was removed comes back', async () => {
    const { page } = lead;
    await part(page).selectOption({ label: 'Sections and weights' });
    await page.locator('[id="down/sections/0"]').focus();
    await page.keyboard.press('Enter');
    expect(await page.evaluate(() => document.activeElement?.id)).toBe('down/sections/1');
    await looked(page, '54-draft-sections');
    await page.getByRole('button', { name: 'Undo' }).click();
    await part(page).selectOption({ label: 'Equipment states' });
    await page.getByRole('button', { name: 'Remove As worn' }).click();
    await page.getByText('state “As worn” is removed. Undo brings it back.').waitFor();
    await check(page)
      .getByText(/\d+ faults/u)
      .waitFor();
    await looked(page, '55-draft-removed');
    expect(await page.evaluate(() => document.activeElement?.id)).toBe('undo');
    await page.keyboard.press('Enter');
    await check(page).getByText('No fault').waitFor();
    for (const name of [
      'Measures',
      'Technique ladders',
      'Rules: divergence, gate, rounds',
      'Scale',
    ]) {
      await part(page).selectOption({ label: name });
      await page.getByRole('heading', { name: 'Check' }).waitFor();
      expect(await axeViolations(page), name).toEqual([]);
      await picture(page, `56-draft-${name.split(/[ :]/u)[0] ?? ''}`, true);
    }
  });

  test('PR-12: a renamed id takes along what refers to it, a taken one is refused by name, and undo brings both back', async () => {
    const { page } = lead;
    await part(page).selectOption({ label: 'Tools' });
    const id = page.locator('[id="at/tools/0/id"]');
    await id.fill('suction');
    await id.press('Enter');
    await page.getByText('“suction” is the id of tool “Suction tip”.').waitFor();
    expect(await id.inputValue()).toBe('suction');
    await looked(page, '56-draft-id-taken');
    await id.fill('scissors');
    await id.press('Enter');
    await page
      .getByText(/“shears” is called “scissors” now, also in section “.+”, task “/u)
      .first()
      .waitFor();
    await saved(page);
    await check(page).getByText('No fault').waitFor();
    await looked(page, '56-draft-id-renamed');
    await page.getByRole('button', { name: 'What changes against 1.0.0' }).click();
    await page
      .getByTestId('changes')
      .getByText(/tool "shears" is called "scissors" now/u)
      .waitFor();
    await page.getByRole('button', { name: 'Undo' }).click();
    expect(await id.inputValue()).toBe('shears');
    await check(page).getByText('No fault').waitFor();
  });

  test('endorsements are given a weight, and a point that is not on the scale is a fault at its place', async () => {
    const { page } = lead;
    await part(page).selectOption({ label: 'Rules: divergence, gate, rounds' });
    await page.getByLabel('Endorsements').selectOption('weighs');
    await check(page).getByText('No fault').waitFor();
    const no = page.getByLabel('Point of the scale for “not content”');
    expect(await no.inputValue()).toBe('5');
    await page.getByLabel('Weight, in the unit of the sections’ weights').fill('25');
    await no.fill('9');
    await check(page)
      .getByText(/is no point of the scale/u)
      .waitFor();
    await looked(page, '56b-draft-endorsements');
    await no.fill('5');
    await check(page).getByText('No fault').waitFor();
    await saved(page);
    await part(page).selectOption({ label: 'Sections and weights' });
    // 20 of 125 is what is left of the heaviest section.
    await page.getByText('weight 20, 16 % of the composite').waitFor();
  });

  test('PR-14: language, rest and a criterion in numbers have fields of their own, under the same check', async () => {
    const { page } = lead;
    await part(page).selectOption({ label: 'Title and version' });
    const language = page.getByLabel(/^Language of its words/u);
    await language.fill('not a language');
    await check(page)
      .getByText(/does not fit/u)
      .waitFor();
    await language.fill('');
    await check(page).getByText('No fault').waitFor();
    await part(page).selectOption({ label: 'Rules: divergence, gate, rounds' });
    await page.getByLabel('Rest between trials', { exact: true }).selectOption('own-rest');
    await page.getByLabel('Minutes of rest').fill('1441');
    await check(page)
      .getByText(/does not fit/u)
      .waitFor();
    await page.getByLabel('Minutes of rest').fill('4');
    await page.getByLabel(/Tasks that tire/u).selectOption({ label: 'Carotid pulse check' });
    await check(page).getByText('No fault').waitFor();
    await part(page).selectOption({ label: '– Carotid pulse check' });
    const kind = page.getByLabel('Met when');
    expect(await kind.inputValue()).toBe('not-done-within');
    await page.getByLabel('Seconds', { exact: true }).fill('');
    await check(page)
      .getByText(/does not fit/u)
      .waitFor();
    await page.getByLabel('Seconds', { exact: true }).fill('12');
    await kind.selectOption('any');
    await page.getByRole('button', { name: 'Add a condition' }).click();
    await kind.nth(3).selectOption('above');
    await page.getByLabel('Limit', { exact: true }).fill('3');
    await check(page).getByText('No fault').waitFor();
    await looked(page, '56c-draft-criterion');
    await page.getByRole('button', { name: 'Text (JSON)' }).click();
    const file = JSON.parse(await page.locator('#json').inputValue()) as {
      language?: string;
      rest: unknown;
      sections: { tasks: { id: string; criterion?: unknown }[] }[];
    };
    expect(file.language).toBeUndefined();
    expect(file.rest).toEqual({ minutes: 4, tasks: ['pulse-check'] });
    const pulse = file.sections.flatMap((s) => s.tasks).find((t) => t.id === 'pulse-check');
    expect(pulse?.criterion).toEqual({
      kind: 'any',
      of: [
        { kind: 'not-done-within', measure: 't_pulse', seconds: 12 },
        { kind: 'recorded' },
        { kind: 'above', measure: 't_pulse', limit: 3 },
      ],
    });
    await page.getByRole('button', { name: 'Form', exact: true }).click();
    await saved(page);
  });

  test('a text that is no JSON keeps its words, and the check names its line', async () => {
    const { page } = lead;
    await page.getByRole('button', { name: 'Text (JSON)' }).click();
    // A comma is taken out, as a person would.
    await page.locator('#json').evaluate((area: HTMLTextAreaElement) => {
      const comma = area.value.indexOf('"1.1.0",') + '"1.1.0"'.length;
      area.focus();
      area.setSelectionRange(comma, comma + 1);
    });
    await page.keyboard.press('Delete');
    await check(page)
      .getByText(/is not JSON/u)
      .waitFor();
    await check(page)
      .getByRole('button', { name: /line 5/u })
      .click();
    expect(await page.evaluate(() => document.activeElement?.id)).toBe('json');
    await looked(page, '57-draft-text');
    await page.getByRole('button', { name: 'Form', exact: true }).click();
    await page.getByText(/there is no form/u).waitFor();
    await page.getByRole('button', { name: 'Undo' }).click();
    await check(page).getByText('No fault').waitFor();
  });

  test('without a link the words stay on the device, and go when it is back', async () => {
    const { page } = lead;
    await page.context().setOffline(true);
    await part(page).selectOption({ label: 'Title and version' });
    await page.getByLabel('Title', { exact: true }).fill('Emergency access, shaken');
    await page
      .getByTestId('save-state')
      .getByText(/no link to the server/u)
      .waitFor();
    await picture(page, '58-draft-offline');
    await page.context().setOffline(false);
    await saved(page);
  });

  test('two moderators at one draft: the second is told by name, and keeps both', async () => {
    const { page } = ruth;
    const address = lead.page.url();
    await page.waitForURL(/panel/u);
    await page.goto(address);
    await page.getByRole('heading', { name: 'Draft: Emergency access, shaken' }).waitFor();
    // Without a link, so that the lead has written before anything of Ruth's is there to be looked at.
    await lead.page.context().setOffline(true);
    await lead.page.getByLabel('Title', { exact: true }).fill('Emergency access, by the lead');
    await lead.page
      .getByTestId('save-state')
      .getByText(/no link to the server/u)
      .waitFor();
    await page.getByLabel('Title', { exact: true }).fill('Emergency access, by Ruth');
    await saved(page);
    await lead.page.context().setOffline(false);
    const conflict = lead.page.getByTestId('conflict');
    await conflict.getByText(/Ruth \(invented\) saved this draft/u).waitFor();
    await looked(lead.page, '59-conflict');
    await conflict.getByRole('button', { name: 'Keep mine as a draft of its own' }).click();
    await lead.page
      .getByRole('heading', { name: 'Draft: Emergency access, by the lead' })
      .waitFor();
    await lead.page.getByRole('link', { name: 'All protocols' }).click();
    await lead.page.getByText(/saved by Ruth \(invented\)/u).waitFor();
    await looked(lead.page, '60-drafts');
  });

  test('it is published, compared in words, and chosen for an evaluation', async () => {
    const { page } = ruth;
    await page.getByRole('button', { name: 'What changes against 1.0.0' }).click();
    await page
      .getByTestId('changes')
      .getByText(/weight changed from 1 to 1.5/u)
      .waitFor();
    await looked(page, '61-draft-changes');
    await page.getByRole('button', { name: 'Publish' }).click();
    const dialog = page.getByRole('dialog');
    await dialog
      .getByRole('textbox')
      .fill('The first task is shaken, and counts half as much again.');
    expect(await axeViolations(page)).toEqual([]);
    await picture(page, '62-publish');
    await dialog.getByRole('button', { name: 'Publish' }).click();
    await page.getByRole('heading', { name: 'Emergency access, by Ruth 1.1.0' }).waitFor();
    await page.getByRole('button', { name: 'Say what changed' }).click();
    await page
      .getByTestId('changes')
      .getByText(/task "fit-retention", weight changed from 1 to 1.5/u)
      .waitFor();
    await page
      .getByText('20 % of the composite, more where sections stay unrated; content counts as 0')
      .waitFor();
    await looked(page, '63-version');
    await lead.page.goto(panel);
    await lead.page.getByLabel('Sport').fill('gridiron');
    await lead.page.getByLabel('Maker', { exact: true }).fill('Larkmoor (invented)');
    await lead.page.getByLabel('Model', { exact: true }).fill('Heron 3');
    await lead.page
      .getByLabel('Protocol')
      .selectOption({ label: 'Emergency access, by Ruth 1.1.0' });
    await lead.page.getByRole('button', { name: 'Make an evaluation' }).click();
    await lead.page.getByText('Stays seated when shaken').first().waitFor();
    await picture(lead.page, '64-desk');
    for (const seat of [lead, ruth]) expect(seat.faults).toEqual([]);
  });
});
