import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { SeatClient } from '../../server/src/rehearse/seat-client.ts';
import { buildWorld } from '../bench/suite/world.ts';
import { axeViolations } from '../support/axe.ts';
import { launchBrowser, noBrowser } from '../support/chromium.ts';
import { LAPTOP, person, picture, reasonDialog, takeByLink } from '../support/people.ts';
import { freshDirectory, removeDirectory, startProgram, type Program } from '../support/program.ts';

const REASON = 'Invented: the clip on the second video shows the pad lifting.';

/** The smallest text that can be seen, in px on the screen, with what it says. */
const smallestText = (page: Page): Promise<[number, string]> =>
  page.evaluate(() => {
    let least: [number, string] = [Infinity, ''];
    const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    for (let node = walk.nextNode(); node; node = walk.nextNode()) {
      const said = node.textContent?.trim() ?? '';
      const element = node.parentElement;
      if (said === '' || !element?.checkVisibility() || element.closest('.only-read')) continue;
      const svg = element.closest('svg');
      const scale = svg ? svg.getBoundingClientRect().width / svg.viewBox.baseVal.width : 1;
      const size = parseFloat(getComputedStyle(element).fontSize) * scale;
      if (size < least[0]) least = [size, said];
    }
    return least;
  });

describe.skipIf(noBrowser())('the desk of 30 tasks and 12 reviewers, with two moderators', () => {
  let program: Program;
  let browser: Browser;
  let mara: Page;
  let bo: Page;
  let desk = '';
  const faults: string[][] = [];
  const title = (page: Page): Promise<string> => page.locator('#present').innerText();
  const keyOf = (page: Page, key: string): Promise<void> => page.keyboard.press(key);
  /** Until what the server says now is there, not what the device kept. */
  const live = (page: Page): Promise<void> =>
    page.getByTestId('queue').getByRole('listitem').first().waitFor();
  const settled = (page: Page) => page.getByTestId('opened-task').getByText(/^Settled at/u);

  beforeAll(async () => {
    const directory = freshDirectory();
    const plan = { panels: 1, sealed: 1, reviewers: 12, prefilled: 30, devices: 1 };
    const world = await buildWorld(directory, plan);
    const panel = world.panels[0];
    const cookie = panel?.moderator ?? '';
    desk = `/evaluation/${panel?.sealed[0]?.id ?? ''}/desk`;
    program = await startProgram(directory);
    browser = await launchBrowser();
    const seats = [await person(browser, LAPTOP), await person(browser, LAPTOP)] as const;
    faults.push(...seats.map((s) => s.faults));
    [mara, bo] = [seats[0].page, seats[1].page];
    const [name = '', value = ''] = cookie.split('=');
    await mara.context().addCookies([{ name, value, url: program.url }]);
    const client = new SeatClient(program.url, cookie);
    const way = { role: 'moderator', label: '', by: 'link', until: null, seat: null } as const;
    const made = await client.onPanel(panel?.id ?? '', { type: 'invite', ...way });
    client.close();
    if (made?.kind !== 'invitation') throw new Error('no invitation');
    await takeByLink(bo, `${program.url}/join#${made.secret}`, 'Bo Lind (invented)');
    await bo.getByRole('heading', { name: 'Seats' }).waitFor();
    await Promise.all([mara, bo].map((page) => page.goto(`${program.url}${desk}`)));
    await Promise.all([mara, bo].map((page) => page.locator('#present').waitFor()));
  });
  afterAll(async () => {
    await browser.close();
    await program.stop();
    removeDirectory(program.directory);
  });

  test('DK-4: every key of the list does what the list says, and the list comes into view', async () => {
    await keyOf(mara, '?');
    const list = mara.locator('#keys');
    await expect.poll(() => list.getAttribute('open')).not.toBeNull();
    await expect
      .poll(() =>
        list.evaluate((e) => {
          const { top, bottom } = e.getBoundingClientRect();
          return top < innerHeight && bottom > 0 && e.contains(document.activeElement);
        }),
      )
      .toBe(true);
    const listed = (await list.locator('kbd').allInnerTexts()).join(', ').split(', ');
    expect(listed.toSorted()).toEqual(['?', 'J', 'K', 'O', 'R', 'S', 'W']);
    await keyOf(mara, '?');
    await expect.poll(() => list.getAttribute('open')).toBeNull();
    const first = await title(mara);
    await keyOf(mara, 'j');
    await expect.poll(() => title(mara)).not.toBe(first);
    await keyOf(mara, 'k');
    await expect.poll(() => title(mara)).toBe(first);
    // Asked once, by the other moderator too; who opens presses again, whatever else changes between the two presses.
    await keyOf(bo, 'o');
    await bo.getByRole('button', { name: 'Press again to open' }).waitFor();
    await keyOf(mara, 'w');
    await mara.getByRole('button', { name: 'On the wall now' }).waitFor();
    await bo.getByRole('button', { name: 'On the wall now' }).waitFor();
    expect(await bo.getByRole('button', { name: 'Press again to open' }).isVisible()).toBe(true);
    await keyOf(mara, 'o');
    await mara.getByRole('button', { name: 'Press again to open' }).waitFor();
    await keyOf(mara, 'o');
    await mara.getByTestId('opened-task').waitFor();
    await keyOf(mara, 's');
    await settled(mara).waitFor();
    await keyOf(mara, 'j');
    await settled(mara).waitFor({ state: 'detached' });
    await keyOf(mara, 'r');
    await mara.getByRole('button', { name: 'Call the second round on 1 task' }).waitFor();
    await keyOf(mara, 'r');
    await mara.getByRole('button', { name: /^Call the second round/u }).waitFor({
      state: 'detached',
    });
  });

  test('DK-4: no key acts while somebody types, nor after the keys are switched off', async () => {
    const before = await title(mara);
    await mara.getByLabel('Write a remark').fill('');
    await mara.getByLabel('Write a remark').pressSequentially('jkosrw?');
    expect(await title(mara)).toBe(before);
    expect(await mara.getByLabel('Write a remark').inputValue()).toBe('jkosrw?');
    expect(await settled(mara).count()).toBe(0);
    await mara.getByText('Keys', { exact: true }).click();
    await mara.getByLabel('Keyboard shortcuts are on').uncheck();
    await keyOf(mara, 'j');
    await mara.reload();
    await live(mara);
    const now = await title(mara);
    await keyOf(mara, 'j');
    await keyOf(mara, 's');
    await mara.getByText('Keys', { exact: true }).click();
    await mara.getByLabel('Keyboard shortcuts are on').check();
    expect(await title(mara)).toBe(now);
    expect(await settled(mara).count()).toBe(0);
    // The tick has the focus still: letters are not typed into it.
    await keyOf(mara, 'j');
    await expect.poll(() => title(mara)).not.toBe(now);
  });

  test('30 tasks and 12 reviewers can be read at 1280 px', async () => {
    const [size, said] = await smallestText(mara);
    expect(size, said).toBeGreaterThanOrEqual(16);
    expect(await mara.evaluate(() => document.documentElement.scrollWidth - innerWidth)).toBe(0);
    expect(await mara.getByTestId('opened-task').locator('svg g').count()).toBe(12);
    expect(await mara.getByRole('navigation', { name: 'Agenda' }).getByRole('button').count()).toBe(
      30,
    );
    expect(await axeViolations(mara)).toEqual([]);
    await picture(mara, 'desk-30-by-12', true);
  });

  test('DK-5: keys go through a long queue within its own list, and leave the page where it is', async () => {
    await mara.setViewportSize({ width: LAPTOP.width, height: 420 });
    const queue = mara.getByTestId('queue');
    await queue.getByRole('button').first().click();
    await mara.evaluate(() => scrollTo(0, 0));
    const last = queue.locator('li').last();
    const inList = (): Promise<boolean> =>
      last.evaluate((entry) => {
        const [its, list] = [entry, entry.parentElement ?? entry].map((e) =>
          e.getBoundingClientRect(),
        );
        return its !== undefined && list !== undefined && its.bottom <= list.bottom + 1;
      });
    expect(await inList()).toBe(false);
    const entries = await queue.locator('li').count();
    for (let i = 0; i < entries; i++) await keyOf(mara, 'j');
    await expect.poll(() => last.getByRole('button').getAttribute('aria-current')).toBe('true');
    expect(await inList()).toBe(true);
    expect(await mara.evaluate(() => scrollY)).toBe(0);
    await mara.setViewportSize(LAPTOP);
  });

  test('what is missing before the lock leads there, and the lock pressed early does too', async () => {
    const lock = mara.getByTestId('lock');
    for (const line of [/divergent tasks? to settle/u, /undisputed tasks? to adopt/u]) {
      const link = lock.getByRole('button', { name: line });
      await mara.getByRole('navigation').getByRole('button').last().click();
      const before = await title(mara);
      await link.click();
      await expect.poll(() => mara.evaluate(() => document.activeElement?.id)).toBe('present');
      expect(await title(mara)).not.toBe(before);
    }
    await lock.getByRole('button', { name: /not declared/u }).click();
    await mara.getByRole('heading', { name: 'Seats' }).waitFor();
    await mara.goBack();
    await lock.getByRole('button', { name: 'Lock the evaluation' }).click();
    const focused = mara.locator('[data-testid="lock"] li.open button').first();
    expect(await focused.evaluate((e) => e === document.activeElement)).toBe(true);
  });

  test('DK-1 DK-2 DK-6: two moderators see each other act; what one writes is not lost to the other', async () => {
    await Promise.all([mara, bo].map((page) => page.goto(`${program.url}${desk}`)));
    await mara.getByText('Moderating too: Bo Lind (invented), here now').waitFor();
    await bo.getByRole('radio', { name: 'I have no such ties' }).check();
    await bo.getByRole('radio', { name: 'Seen it' }).check();
    await bo.getByRole('button', { name: 'Declare', exact: true }).click();
    await Promise.all([mara, bo].map(live));
    const task = await title(bo);
    expect(await title(mara)).toBe(task);
    await bo.getByRole('button', { name: 'Decide', exact: true }).click();
    await bo.getByLabel('Reason, on record').fill(REASON);
    await keyOf(mara, 's');
    await settled(mara).waitFor();
    const dialog = bo.getByRole('dialog');
    await dialog.getByText(/ settled this task at \d+:\d+/u).waitFor();
    expect(await dialog.getByRole('button', { name: 'Settle' }).isDisabled()).toBe(true);
    await dialog.getByRole('button', { name: 'Copy what I wrote' }).click();
    await dialog.getByText('Selected and copied.').waitFor();
    expect(await dialog.getByLabel('Reason, on record').inputValue()).toBe(REASON);
    expect(await axeViolations(bo)).toEqual([]);
    await picture(bo, 'desk-two-moderators');
    await dialog.getByRole('button', { name: 'Go back' }).click();
    // The task under the hands stays, with who settled it.
    expect(await title(bo)).toBe(task);
    const line = bo.getByTestId('opened-task').locator('p.settled');
    await expect.poll(() => line.innerText()).toMatch(/Settled at the median.*, \d+:\d+:\d+/u);
    await bo.getByRole('button', { name: 'Reopen', exact: true }).click();
    await reasonDialog(bo, REASON, 'Reopen');
    await settled(mara).waitFor({ state: 'detached' });
  });

  test('DK-3: both type into one shared note, a remark stays with its task', async () => {
    const note = (page: Page) => page.getByLabel('Shared note');
    await note(mara).fill('Guard lifts. ');
    await expect.poll(() => note(bo).inputValue()).toBe('Guard lifts. ');
    await note(bo).evaluate((e: HTMLTextAreaElement) => {
      e.focus();
      e.setSelectionRange(0, 0);
    });
    await bo.keyboard.type('First: ');
    await note(mara).press('End');
    await mara.keyboard.type('Seen twice.');
    await expect.poll(() => note(bo).inputValue()).toBe('First: Guard lifts. Seen twice.');
    // The cursor stayed where it was while the other one typed.
    await bo.keyboard.type('look. ');
    await expect.poll(() => note(mara).inputValue()).toBe('First: look. Guard lifts. Seen twice.');
    await bo.getByLabel('Write a remark').fill('Half a thought');
    const here = await title(bo);
    await bo.getByRole('navigation').getByRole('button').last().click();
    expect(await bo.getByLabel('Write a remark').inputValue()).toBe('');
    await bo.getByRole('navigation').getByRole('button', { name: here }).click();
    expect(await bo.getByLabel('Write a remark').inputValue()).toBe('Half a thought');
  });

  test('a second press that was asked for counts for its own round only', async () => {
    await keyOf(mara, 'Escape');
    await mara.locator('#present').focus();
    await keyOf(mara, 'r');
    await mara.getByRole('button', { name: 'Call the second round on 1 task' }).click();
    await bo
      .getByTestId('stage')
      .getByText(/Sealed/u)
      .waitFor();
    await bo.getByRole('button', { name: /^Open with \d+ of 12 finished/u }).waitFor();
    expect(await bo.getByRole('button', { name: 'Press again to open' }).count()).toBe(0);
    expect(faults.flat()).toEqual([]);
  });
});
