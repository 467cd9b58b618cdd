import type { Browser } from 'playwright-core';
import { browserPath, launchBrowser } from '../support/chromium.ts';
import type { Play } from './family.ts';
import { TASK_TITLE } from './world.ts';

let browser: Promise<Browser> | undefined;

export const closeBrowser = async (): Promise<void> => {
  await (await browser)?.close();
  browser = undefined;
};

/** Elements that only a text read as markup can have made. */
const MADE =
  'img[src="x"],[onerror],[onload],[onclick],iframe,object,embed,a[href^="javascript"],img[src*=":9/"]';

/**
 * Opens a page of the evaluation in a real browser as a member and looks for what a hostile text could have done:
 * elements, dialogs, requests to elsewhere, reports of the content security policy.
 */
const look = async (
  play: Play,
  cookie: string,
  path: string,
  shows: string | undefined,
): Promise<void> => {
  const { world, judged } = play;
  if (browserPath() === undefined) {
    judged.unobserved('inert-render', 'no Chromium or Chrome found (set CHROME_PATH)');
    judged.unobserved('no-outbound-request', 'no Chromium or Chrome found (set CHROME_PATH)');
    return;
  }
  browser ??= launchBrowser();
  const context = await (await browser).newContext();
  const [name = '', value = ''] = cookie.split('=');
  await context.addCookies([{ name, value, url: world.url }]);
  const page = await context.newPage();
  const faults: string[] = [];
  const outside: string[] = [];
  page.on('dialog', (dialog) => {
    faults.push(`dialog ${dialog.message()}`);
    void dialog.dismiss();
  });
  page.on('console', (message) => {
    if (/Content Security Policy/u.test(message.text())) faults.push(message.text());
  });
  page.on('request', (request) => {
    if (
      !/^(?:data|blob):/u.test(request.url()) &&
      new URL(request.url()).host !== new URL(world.url).host
    ) {
      outside.push(request.url());
    }
  });
  await page.goto(`${world.url}${path}`);
  await page.locator('main').first().waitFor({ timeout: 20_000 });
  if (shows !== undefined) {
    // The queue of the desk names every opened task; the one picked is shown whole.
    await page.getByRole('button', { name: TASK_TITLE }).first().click({ timeout: 20_000 });
    const text = page.getByText(shows, { exact: false }).first();
    await text
      .waitFor({ timeout: 10_000, state: 'attached' })
      .catch(() => faults.push('the text is not on the page'));
  }
  const made = await page.locator(MADE).count();
  if (made > 0) faults.push(`${String(made)} elements`);
  judged.observe('inert-render', faults.length === 0, faults.join('; '));
  judged.observe('no-outbound-request', outside.length === 0, outside.join());
  await context.close();
};

/** The moderator's desk, where the notes of an opened round are read by everybody. */
export const openDesk = async (play: Play): Promise<void> => {
  const { world, payload } = play;
  const note = /"\{\{k\.note\}\}":"((?:[^"\\]|\\.)*)"/u.exec(payload.toString('utf8'))?.[1];
  const path = `/evaluation/${world.opened}/desk`;
  await look(play, world.lead.cookie, path, note);
};

/** The reviewer's own sheet. */
export const openSheetPage = async (play: Play): Promise<void> => {
  const { world } = play;
  await look(play, world.people.ada.client.cookie, `/evaluation/${world.sealed}/sheet`, undefined);
};
