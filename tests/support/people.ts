import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import type { Browser, Locator, Page } from 'playwright-core';

/** Where pictures go when they are asked for: SHOTS=<folder>. */
const shots = process.env['SHOTS'];

export const PHONE = { width: 390, height: 844 };
export const LAPTOP = { width: 1280, height: 800 };
export const HD = { width: 1920, height: 1080 };

/** Faults that a page reported: uncaught errors and refused content. */
export interface Seat {
  page: Page;
  faults: string[];
}

/** A person at a device of their own: a browser context with nothing in it. */
export const person = async (
  browser: Browser,
  viewport: { width: number; height: number },
  locale = 'en-GB',
): Promise<Seat> => {
  const context = await browser.newContext({ viewport, locale });
  const page = await context.newPage();
  page.setDefaultTimeout(40_000);
  const faults: string[] = [];
  page.on('pageerror', (error) => faults.push(error.message));
  page.on('console', (message) => {
    if (message.type() === 'error' && /Content Security Policy/u.test(message.text())) {
      faults.push(message.text());
    }
  });
  return { page, faults };
};

/** A picture of the page, when pictures are asked for. */
export const picture = async (page: Page, name: string, whole = false): Promise<void> => {
  if (shots === undefined) return;
  mkdirSync(shots, { recursive: true });
  await page.screenshot({ path: join(shots, `${name}.png`), fullPage: whole });
};

/** A picture of a part of the page, when pictures are asked for. */
export const pictureOf = async (part: Locator, name: string): Promise<void> => {
  if (shots === undefined) return;
  mkdirSync(shots, { recursive: true });
  await part.screenshot({ path: join(shots, `${name}.png`) });
};

/** Declares that there are no ties. */
export const declareNothing = async (page: Page): Promise<void> => {
  await page.getByRole('radio', { name: 'I have no such ties' }).check();
  await page.getByRole('radio', { name: 'Seen it' }).check();
  await page.getByRole('button', { name: 'Declare', exact: true }).click();
};

/** The lead signs in, makes a panel and declares; ends on the panel's page. */
export const openPanel = async (page: Page, signInLink: string): Promise<void> => {
  await page.goto(signInLink);
  await page.getByRole('button', { name: 'Sign in' }).click();
  await page.getByLabel('Title of the panel').fill('Autumn helmets (invented)');
  await page.getByLabel('Day or season').fill('Simulation room, Wednesday');
  await page.getByLabel('Your name, as its moderator').fill('Mara Ruiz');
  await page.getByRole('button', { name: 'Make a panel' }).click();
  await declareNothing(page);
  await page.getByRole('button', { name: 'Declare', exact: true }).waitFor({ state: 'detached' });
};

/** Makes an invitation, by code one that lets in at once unless it `waits`; returns its link and, when there is one, its typed code. */
export const invite = async (
  page: Page,
  role: string,
  by: 'code' | 'link' = 'code',
  waits = false,
): Promise<{ link: string; code: string }> => {
  const before =
    (await page.getByTestId('link').count()) > 0 ? await page.getByTestId('link').innerText() : '';
  await page.getByLabel('Role', { exact: true }).selectOption({ label: role });
  const way = by === 'code' ? /With a code/u : /With a link/u;
  await page.getByRole('radio', { name: way }).check();
  if (by === 'code') await page.getByLabel('Let in at once').setChecked(!waits);
  await page.getByRole('button', { name: 'Make the invitation' }).click();
  await page.waitForFunction((old) => {
    const text = document.querySelector('[data-testid="link"]')?.textContent ?? '';
    return text !== '' && text !== old;
  }, before);
  const code = page.getByTestId('code');
  return {
    link: await page.getByTestId('link').innerText(),
    code: (await code.count()) > 0 ? await code.innerText() : '',
  };
};

/** Takes a seat by link. */
export const takeByLink = async (page: Page, link: string, name: string): Promise<void> => {
  await page.goto(link);
  if (name !== '') await page.getByLabel('Your name').fill(name);
  await page.getByRole('button', { name: 'Take this seat' }).click();
};

/** Takes a seat by typing the code at /join. */
export const takeByCode = async (
  page: Page,
  url: string,
  code: string,
  name: string,
): Promise<void> => {
  await page.goto(`${url}/join`);
  await page.getByLabel('Code from the moderator').fill(code.toLowerCase().replace('-', ' '));
  await page.getByRole('button', { name: 'Continue' }).click();
  await page.getByLabel('Your name').fill(name);
  await page.getByRole('button', { name: 'Take this seat' }).click();
};

/** Rates the task on show with a step, by its word. */
export const rateStep = async (page: Page, step: number): Promise<void> => {
  await page.locator(`input[type="radio"][value="${String(step)}"]`).check();
};

/** A moderator at the desk lets the round open without a fit check, with a reason. */
export const goWithoutFit = async (page: Page): Promise<void> => {
  await page.getByRole('button', { name: 'Go without it' }).click();
  await reasonDialog(page, 'Invented: nothing is worn in this run.', 'Go without it');
};

/** Goes to the next task. */
export const next = async (page: Page): Promise<void> => {
  await page.getByRole('button', { name: 'Next', exact: true }).click();
};

/** Rates tasks from the one on show on: a step each, or null for "does not apply". */
export const rateAll = async (page: Page, steps: readonly (number | null)[]): Promise<void> => {
  for (const [i, step] of steps.entries()) {
    if (step === null) {
      await page.getByRole('radio', { name: 'Does not apply to this piece' }).check();
      const why = page.getByLabel('Why it does not apply');
      await why.fill('The piece leaves the chest free.');
      await why.blur();
    } else await rateStep(page, step);
    if (i < steps.length - 1) await next(page);
  }
};

/** Waits for the line that says the sheet is on the server's disk. */
export const saved = async (page: Page): Promise<void> => {
  await page
    .getByTestId('save-line')
    .getByText(/^Saved/u)
    .waitFor();
};

/** Fills a dialog's reason and presses its button. */
export const reasonDialog = async (page: Page, reason: string, go: string): Promise<void> => {
  const dialog = page.getByRole('dialog');
  await dialog.getByRole('textbox').fill(reason);
  await dialog.getByRole('button', { name: go, exact: true }).click();
  await dialog.waitFor({ state: 'detached' });
};
