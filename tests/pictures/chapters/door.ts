import {
  declareNothing,
  invite,
  LAPTOP,
  PHONE,
  takeByCode,
  takeByLink,
} from '../../support/people.ts';
import { NO_ANSWER, type Chapter, type Stage } from '../stage.ts';
import type { Watched } from '../camera.ts';

const arrive = async (stage: Stage): Promise<void> => {
  const phone = await stage.sit(PHONE);
  const { page } = phone;
  await page.goto(`${stage.program.url}/join`);
  await page.getByLabel('Code from the moderator').waitFor();
  await stage.look(phone, 'arrive');
  await page.getByRole('button', { name: 'Settings' }).click();
  await page.getByLabel('Language').waitFor();
  await stage.look(phone, 'settings');
  await page.getByRole('button', { name: 'Settings' }).click();
  phone.expected = NO_ANSWER;
  await page.getByLabel('Code from the moderator').fill('ABCDEFGH');
  await page.getByRole('button', { name: 'Continue' }).click();
  await page.getByRole('status').filter({ hasText: 'code' }).waitFor();
  await stage.look(phone, 'arrive-refused');
  await page.goto(`${stage.program.url}/sign-in#wrongwrongwrongwrongww`);
  await page.getByRole('button', { name: 'Sign in' }).click();
  await page.getByText(/link/u).first().waitFor();
  await stage.look(phone, 'sign-in-refused');
};

const empty = async (stage: Stage, lead: Watched): Promise<void> => {
  const { page } = lead;
  await page.goto(stage.program.signInLink ?? '');
  await page.getByRole('button', { name: 'Sign in' }).waitFor();
  await stage.look(lead, 'sign-in');
  await page.getByRole('button', { name: 'Sign in' }).click();
  await page.getByLabel('Title of the panel').waitFor();
  await stage.look(lead, 'home-empty');
  for (const [screen, path] of [
    ['catalogue-empty', '/catalogue'],
    ['specimens-empty', '/specimens'],
    ['protocol-page-empty', '/learning/protocols'],
    ['not-found', '/nowhere'],
  ] as const) {
    await page.goto(`${stage.program.url}${path}`);
    await page.waitForLoadState('networkidle');
    await stage.look(lead, screen);
  }
  lead.expected = NO_ANSWER;
  // Only reviewers practise.
  await page.goto(`${stage.program.url}/practice`);
  await page.waitForLoadState('networkidle');
  await stage.look(lead, 'practices-refused');
  await page.goto(`${stage.program.url}/evaluation/ev_${'x'.repeat(22)}/desk`);
  await page.waitForLoadState('networkidle');
  await stage.look(lead, 'evaluation-unknown');
  lead.expected = null;
  await page.goto(`${stage.program.url}/`);
  await page.getByLabel('Title of the panel').fill('Autumn helmets (invented)');
  await page.getByLabel('Day or season').fill('Simulation room, Wednesday');
  await page.getByLabel('Your name, as its moderator').fill('Mara Ruiz');
  await page.getByRole('button', { name: 'Make a panel' }).click();
  await page.getByRole('radio', { name: 'I have no such ties' }).waitFor();
  await stage.look(lead, 'panel-new');
  await declareNothing(page);
  await page.getByRole('button', { name: 'Declare', exact: true }).waitFor({ state: 'detached' });
};

const invited = async (stage: Stage, lead: Watched): Promise<void> => {
  const { code } = await invite(lead.page, 'Reviewer', 'code', true);
  await stage.look(lead, 'panel-invited');
  const phone = await stage.sit(PHONE);
  await takeByCode(phone.page, stage.program.url, code, 'Noor (invented)');
  await phone.page.getByText('The moderator sees that you are here').waitFor();
  await stage.look(phone, 'waiting-at-the-door');
  const door = lead.page.getByTestId('arrivals');
  await door.getByText('Noor (invented)').waitFor();
  await stage.look(lead, 'panel-somebody-waits');
  await door.getByRole('button', { name: 'Let in' }).click();
  await phone.page.getByRole('radio', { name: 'I have no such ties' }).waitFor();
  await stage.look(phone, 'declare');
  await declareNothing(phone.page);
  await phone.page.getByRole('button', { name: 'Add a device of mine' }).click();
  await phone.page.locator('p.code').waitFor();
  await stage.look(phone, 'panel-second-device');
  const other = await stage.sit(PHONE);
  const by = await invite(lead.page, 'Observer', 'code', true);
  await takeByCode(other.page, stage.program.url, by.code, 'Eve (invented)');
  await lead.page.getByTestId('arrivals').getByRole('button', { name: 'Turn away' }).click();
  await other.page.getByRole('heading', { name: 'Not let in' }).waitFor();
  await stage.look(other, 'not-let-in');
  const link = await invite(lead.page, 'Reviewer', 'link');
  const far = await stage.sit(LAPTOP);
  await far.page.goto(link.link);
  await far.page.getByLabel('Your name').waitFor();
  await stage.look(far, 'take-a-seat');
  await takeByLink(far.page, link.link, 'Omar (invented)');
  await far.page.getByRole('radio', { name: 'I have no such ties' }).waitFor();
};

/** Before anything is rated: empty screens, codes and links, the door, and what is refused there. */
export const door: Chapter = {
  name: 'door',
  play: async (stage) => {
    await arrive(stage);
    const lead = await stage.sit(LAPTOP);
    await empty(stage, lead);
    await invited(stage, lead);
  },
};
