import { join } from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { launchBrowser, noBrowser } from '../support/chromium.ts';
import { LAPTOP, person, PHONE, picture } from '../support/people.ts';
import { freshDirectory, removeDirectory, startProgram, type Program } from '../support/program.ts';
import { readAloud } from '../support/read-aloud.ts';

type Role = 'button' | 'textbox' | 'radio' | 'link' | 'combobox' | 'checkbox';

/** Presses Tab until that control has the focus; fails when it cannot be reached. */
const tabTo = async (page: Page, role: Role, name: string | RegExp): Promise<void> => {
  const dialog = page.getByRole('dialog');
  const place = (await dialog.count()) > 0 ? dialog : page;
  const target = place.getByRole(role, { name, exact: typeof name === 'string' }).first();
  await target.waitFor();
  for (let pressed = 0; pressed < 150; pressed++) {
    if (await target.evaluate((e) => e === document.activeElement)) return;
    await page.keyboard.press('Tab');
  }
  throw new Error(`no way to ${role} ${String(name)} with the Tab key`);
};
const press = async (page: Page, name: string | RegExp): Promise<void> => {
  await tabTo(page, 'button', name);
  await page.keyboard.press('Enter');
};
const type = async (page: Page, name: string | RegExp, text: string): Promise<void> => {
  await tabTo(page, 'textbox', name);
  await page.keyboard.type(text);
};
const declare = async (page: Page): Promise<void> => {
  await tabTo(page, 'radio', 'I have no such ties');
  await page.keyboard.press('Space');
  await tabTo(page, 'radio', 'Not at all');
  await page.keyboard.press('ArrowDown');
  await press(page, 'Declare');
};

describe.skipIf(noBrowser())(
  'a whole evaluation with the keyboard alone, and as it is read aloud',
  () => {
    let program: Program;
    let browser: Browser;
    let moderator: Page;
    let reviewer: Page;
    const faults: string[][] = [];
    beforeAll(async () => {
      program = await startProgram(freshDirectory());
      browser = await launchBrowser();
      const seats = [await person(browser, LAPTOP), await person(browser, PHONE)] as const;
      moderator = seats[0].page;
      reviewer = seats[1].page;
      faults.push(...seats.map((s) => s.faults));
    });
    afterAll(async () => {
      await browser.close();
      await program.stop();
      removeDirectory(program.directory);
    });
    /** The same seat at a device that asks for German. */
    const inGerman = async (page: Page): Promise<Page> => {
      const storageState = await page.context().storageState();
      const viewport = page.viewportSize();
      const context = await browser.newContext({ locale: 'de-DE', storageState, viewport });
      const german = await context.newPage();
      await german.goto(page.url());
      return german;
    };
    const stored = (name: string): string => join(import.meta.dirname, 'read-aloud', `${name}.txt`);

    test('the lead signs in, makes a panel and invites', async () => {
      await moderator.goto(program.signInLink ?? '');
      await press(moderator, 'Sign in');
      await type(moderator, 'Title of the panel', 'Autumn helmets (invented)');
      await type(moderator, 'Your name, as its moderator', 'Mara Ruiz');
      await press(moderator, 'Make a panel');
      await declare(moderator);
      await press(moderator, 'Make the invitation');
      await moderator.getByTestId('link').waitFor();
    });

    test('a reviewer takes the seat and declares', async () => {
      await reviewer.goto(await moderator.getByTestId('link').innerText());
      await type(reviewer, /^Your name/u, 'Ada (invented)');
      await reviewer.keyboard.press('Enter');
      await declare(reviewer);
    });

    test('the evaluation is made, the round started, the fit check left out with a reason', async () => {
      await type(moderator, 'Sport', 'gridiron');
      await type(moderator, 'Maker', 'Larkmoor Guardworks (invented)');
      await type(moderator, 'Model', 'Heron 3');
      await press(moderator, 'Make an evaluation');
      await press(moderator, /^Start round 1/u);
      await press(moderator, 'Go without it');
      await moderator.getByRole('dialog').waitFor();
      await moderator.keyboard.type('Invented: nothing is worn in this run.');
      await press(moderator, 'Go without it');
      await moderator.getByRole('dialog').waitFor({ state: 'detached' });
    });

    test('rungs are rated with the arrows, and the focus follows to the next task', async () => {
      await press(reviewer, 'My sheet');
      for (const step of [0, 1, 3]) {
        await tabTo(reviewer, 'radio', /^none/iu);
        await reviewer.keyboard.press('Space');
        for (let down = 0; down < step; down++) await reviewer.keyboard.press('ArrowDown');
        await reviewer
          .getByTestId('save-line')
          .getByText(/^Saved/u)
          .waitFor();
        const before = await reviewer.getByRole('heading', { level: 1 }).innerText();
        if (step === 3) continue;
        await press(reviewer, 'Next');
        await expect
          .poll(() => reviewer.getByRole('heading', { level: 1 }).innerText())
          .not.toBe(before);
        expect(await reviewer.evaluate(() => document.activeElement?.tagName)).toBe('H1');
      }
      await press(reviewer, 'Previous');
      await reviewer
        .getByRole('radio', { name: /^minimal/iu })
        .or(reviewer.getByRole('radio').nth(1))
        .first()
        .waitFor();
    });

    test('a sheet while it is sealed, read aloud, in English and in German', async () => {
      await reviewer.getByText('All tasks: 3 of 30 answered').waitFor();
      await expect(await readAloud(reviewer)).toMatchFileSnapshot(stored('sheet-sealed.en'));
      const german = await inGerman(reviewer);
      await german.getByText('Alle Aufgaben: 3 von 30 beantwortet').waitFor();
      await german.locator('input[type=radio]:enabled').first().waitFor();
      await german.getByTestId('save-line').waitFor();
      // What a first rating does not need comes after it.
      await german.getByText('Noch keine Bemerkungen.').waitFor();
      await german.getByText(/^Wie Sie die Arbeit sehen/u).waitFor();
      await expect(await readAloud(german)).toMatchFileSnapshot(stored('sheet-sealed.de'));
      await picture(german, 'de-03-sheet', true);
      await german.context().close();
    });

    test('the round is opened and a task settled by keys, the rest adopted', async () => {
      await press(reviewer, /^I am finished/u);
      await moderator.getByRole('button', { name: 'Open the round', exact: true }).waitFor();
      await expect
        .poll(
          async () => {
            const stage = await moderator.getByTestId('stage').innerText();
            // A press too many would be refused, and the refusal read aloud.
            if (!/Opened/u.test(stage)) await moderator.keyboard.press('o');
            return stage;
          },
          { interval: 2000, timeout: 20_000 },
        )
        .toMatch(/Opened/u);
      await moderator.getByTestId('opened-task').first().waitFor();
      await moderator.getByTestId('insight').waitFor();
      await expect(await readAloud(moderator)).toMatchFileSnapshot(stored('desk-opened.en'));
      const german = await inGerman(moderator);
      await german.getByTestId('insight').waitFor();
      await german.getByTestId('opened-task').first().waitFor();
      // The German reasons come after the screen.
      await german
        .getByText(/keine Aufgabe mit zwei Urteilen/u)
        .first()
        .waitFor();
      await expect(await readAloud(german)).toMatchFileSnapshot(stored('desk-opened.de'));
      await picture(german, 'de-04-desk', true);
      await german.context().close();
      await moderator.keyboard.press('s');
      await moderator
        .getByText(/^Settled at the median/u)
        .first()
        .waitFor();
    });

    test('the evaluation is locked and its record read', async () => {
      await press(moderator, /^Adopt \d+ undisputed/u);
      await moderator.getByTestId('lock').getByText('Undisputed tasks adopted').waitFor();
      await press(moderator, 'Lock the evaluation');
      await press(moderator, 'Lock and sign');
      await moderator.getByRole('dialog').waitFor({ state: 'detached' });
      await press(moderator, 'Record');
      await moderator.getByTestId('verdict').waitFor({ timeout: 90_000 });
      expect(faults.flat()).toEqual([]);
    });
  },
);
