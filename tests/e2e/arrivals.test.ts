import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { axeViolations } from '../support/axe.ts';
import { launchBrowser, noBrowser } from '../support/chromium.ts';
import {
  invite,
  LAPTOP,
  openPanel,
  person,
  PHONE,
  picture,
  takeByCode,
  type Seat,
} from '../support/people.ts';
import { freshDirectory, removeDirectory, startProgram, type Program } from '../support/program.ts';

describe.skipIf(noBrowser())('the door of a panel', () => {
  let program: Program;
  let browser: Browser;
  let moderator: Seat;

  const comer = async (name: string): Promise<Seat> => {
    const { code } = await invite(moderator.page, 'Observer', 'code', true);
    const seat = await person(browser, PHONE);
    await takeByCode(seat.page, program.url, code, name);
    await seat.page.getByText('The moderator sees that you are here').waitFor();
    return seat;
  };

  beforeAll(async () => {
    program = await startProgram(freshDirectory());
    browser = await launchBrowser();
    moderator = await person(browser, LAPTOP);
    await openPanel(moderator.page, program.signInLink ?? '');
  });
  afterAll(async () => {
    await browser.close();
    await program.stop();
    removeDirectory(program.directory);
  });

  test('a code that cannot be one yet is not sent: the browser stops at the field and says what belongs there', async () => {
    const { page } = await person(browser, PHONE);
    await page.goto(`${program.url}/join`);
    const sent: string[] = [];
    page.on('request', (request) => {
      if (request.method() === 'POST') sent.push(new URL(request.url()).pathname);
    });
    const code = page.getByLabel('Code from the moderator');
    const next = page.getByRole('button', { name: 'Continue' });
    const stopped = (): Promise<boolean> =>
      code.evaluate((field) => field.matches(':invalid') && field === document.activeElement);
    for (const short of ['', 'ABCD-12']) {
      await code.fill(short);
      await next.click();
      expect(await stopped(), short).toBe(true);
    }
    expect(sent).toEqual([]);
    // Eight, however they are parted and written.
    await code.fill('abcd 12-34');
    await next.click();
    await page.getByRole('status').filter({ hasText: /[a-z]/u }).waitFor();
    expect(sent).toEqual(['/api/invitations/look']);
    await page.context().close();
  });

  test('who types a code waits in calm words, and comes in when let in', async () => {
    const noor = await comer('Noor (invented)');
    const door = moderator.page.getByTestId('arrivals');
    expect(await door.innerText()).toContain('Noor (invented)');
    await picture(moderator.page, 'door-moderator');
    await picture(noor.page, 'door-waiting');
    // Nothing leads to a refusal: what cannot be opened yet is not offered, at its own address neither.
    await noor.page.goto(`${program.url}/join`);
    await noor.page.getByLabel('Code from the moderator').waitFor();
    await noor.page.waitForLoadState('networkidle');
    expect(await noor.page.getByRole('link').allInnerTexts()).toEqual([]);
    await noor.page.goto(`${program.url}/waiting`);
    await noor.page.getByText('The moderator sees that you are here').waitFor();
    await noor.page.waitForLoadState('networkidle');
    expect(await noor.page.getByRole('link').allInnerTexts()).toEqual([]);
    expect(await axeViolations(noor.page)).toEqual([]);
    await door.getByRole('button', { name: 'Let in' }).click();
    await noor.page.getByRole('heading', { name: 'Seats' }).waitFor();
    await door.waitFor({ state: 'detached' });
    expect(noor.faults).toEqual([]);
  });

  test('SD-10: everyone stop reaches who waits, and leaves when the day goes on', async () => {
    const kim = await comer('Kim (invented)');
    await moderator.page.getByRole('button', { name: 'Everyone stop' }).click();
    await moderator.page.getByRole('button', { name: 'Stop everyone now' }).click();
    const notice = kim.page.getByTestId('door-stop');
    await notice.getByText('Whoever holds the head keeps holding it').waitFor();
    await picture(kim.page, 'door-stopped');
    expect(await axeViolations(kim.page)).toEqual([]);
    await moderator.page.getByLabel('What was done about it').fill('Looked after.');
    await moderator.page.getByRole('button', { name: 'Let the day go on' }).click();
    await notice.waitFor({ state: 'detached' });
    const door = moderator.page.getByTestId('arrivals');
    await door.getByRole('button', { name: 'Let in' }).click();
    await door.waitFor({ state: 'detached' });
    expect(kim.faults).toEqual([]);
  });

  test('who is turned away is told so, and can type another code', async () => {
    const eve = await comer('Eve (invented)');
    await moderator.page.getByTestId('arrivals').getByRole('button', { name: 'Turn away' }).click();
    await eve.page.getByRole('heading', { name: 'Not let in' }).waitFor();
    expect(await moderator.page.content()).not.toContain('Eve (invented)');
    await eve.page.getByRole('button', { name: 'Type another code' }).click();
    await eve.page.getByLabel('Code from the moderator').waitFor();
    expect(eve.faults).toEqual([]);
  });
});
