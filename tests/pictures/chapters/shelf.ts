import type { Page } from 'playwright-core';
import {
  declareNothing,
  invite,
  LAPTOP,
  PHONE,
  rateStep,
  takeByLink,
} from '../../support/people.ts';
import type { Watched } from '../camera.ts';
import { NO_ANSWER, type Chapter, type Stage } from '../stage.ts';

const REASON = 'Invented: the guard on the bench was not the one that is sold.';
const PIECE = 'Brackenholt Meadow One (invented)';

/** The row of a piece in the catalogue. */
const rowOf = (page: Page, title: string) =>
  page.getByRole('row').filter({ has: page.getByLabel(`Compare ${title}`, { exact: true }) });

const catalogue = async (stage: Stage, lead: Watched): Promise<void> => {
  const { page } = lead;
  await page.goto(stage.program.signInLink ?? '');
  await page.getByRole('button', { name: 'Sign in' }).click();
  await page.getByText('Autumn 2025 (invented)').waitFor();
  await stage.look(lead, 'home');
  await page.getByRole('link', { name: 'Catalogue' }).click();
  await page.getByText('10 of 10 evaluations').waitFor();
  await stage.look(lead, 'catalogue');
  await page.getByLabel(/^Search/u).fill('nothing of this name');
  await page.getByText('0 of 10 evaluations').waitFor();
  await stage.look(lead, 'catalogue-nothing-found');
  await page.getByRole('button', { name: 'Clear all filters' }).click();
  await page.getByText('10 of 10 evaluations').waitFor();
  for (const title of [
    PIECE,
    'Brackenholt Meadow One, hinged guard (invented)',
    'Larkmoor Heron 3 (invented)',
  ])
    await rowOf(page, title).getByRole('checkbox').check();
  await page.getByRole('button', { name: 'Compare 3' }).click();
  await page.getByTestId('not-comparable').waitFor();
  await page.getByTestId('access-compared').first().waitFor();
  await page.getByText('Every pair').click();
  await stage.look(lead, 'compare');
  await page.goto(`${stage.program.url}/specimens`);
  await page.getByLabel(/^Search/u).waitFor();
  await page.waitForLoadState('networkidle');
  await stage.look(lead, 'specimens');
  lead.expected = NO_ANSWER;
  await page.route('**/api/catalogue**', (route) => route.abort());
  await page.goto(`${stage.program.url}/catalogue`);
  await page.waitForLoadState('networkidle');
  await stage.look(lead, 'catalogue-no-answer');
  await page.unroute('**/api/catalogue**');
  lead.expected = null;
};

const published = async (stage: Stage, lead: Watched): Promise<void> => {
  const { page } = lead;
  const open = async (way: RegExp): Promise<void> => {
    await page.goto(`${stage.program.url}/catalogue`);
    await rowOf(page, PIECE).getByRole('link', { name: way }).click();
  };
  await open(/^Care card/u);
  await page.getByTestId('care-card').waitFor();
  await stage.look(lead, 'care-card');
  await page.goto(`${stage.program.url}/catalogue`);
  await rowOf(page, PIECE)
    .getByRole('link', { name: /^Record/u })
    .click();
  await page.getByTestId('verdict').waitFor();
  await stage.look(lead, 'record');
  await open(/^Publish or correct/u);
  await page.getByRole('button', { name: 'Make a link to the record' }).click();
  const link = await page.getByTestId('public-link').innerText();
  await stage.look(lead, 'publish');
  const reader = await stage.sit(PHONE);
  await reader.page.goto(link);
  await reader.page.getByTestId('verdict').waitFor();
  await stage.look(reader, 'public-record');
  await page.getByRole('button', { name: 'Withdraw the record' }).click();
  await page.getByRole('dialog').getByRole('textbox').fill(REASON);
  await page.getByRole('dialog').getByRole('button', { name: 'Withdraw the record' }).click();
  await page.getByTestId('record-state').waitFor();
  await stage.look(lead, 'publish-withdrawn');
  await reader.page.reload();
  await reader.page.getByTestId('record-state').waitFor();
  await stage.look(reader, 'public-withdrawn');
  await page.getByRole('button', { name: 'End this link' }).click();
  await page.getByText(/: ended$/u).waitFor();
  reader.expected = NO_ANSWER;
  await reader.page.reload();
  await reader.page.getByText('The panel has ended this link.').waitFor();
  await stage.look(reader, 'public-ended');
  const stranger = await stage.sit(PHONE);
  const card = /\/public#\S+/u.exec(stage.told)?.[0] ?? '';
  await stranger.page.goto(`${stage.program.url}${card}`);
  await stranger.page.getByTestId('care-card').waitFor();
  await stage.look(stranger, 'public-card');
};

const learning = async (stage: Stage, lead: Watched): Promise<void> => {
  const { page } = lead;
  await page.goto(stage.program.url);
  await page.getByText('Autumn 2025 (invented)').click();
  await page.getByRole('heading', { name: 'Seats' }).waitFor();
  const panel = page.url();
  await stage.look(lead, 'panel');
  await page.getByRole('button', { name: 'Ratings over time' }).first().click();
  await page.getByRole('heading', { name: 'Habit: above or below the panel' }).waitFor();
  await stage.look(lead, 'learning');
  await page.getByRole('button', { name: 'Back to the panel' }).click();
  await page.getByRole('button', { name: 'How the protocol does' }).click();
  const versions = page.getByLabel('Protocol version');
  await versions.waitFor();
  await versions.selectOption({ label: 'Sideline Access Protocol, demo (invented) 1.0.0' });
  await page.getByTestId('low').waitFor();
  await page.getByText('Every task').click();
  await stage.look(lead, 'protocol-page');
  await page.goto(panel);
  const { link } = await invite(page, 'Reviewer');
  const newcomer = await stage.sit(PHONE);
  const phone = newcomer.page;
  await takeByLink(phone, link, 'Nadia (invented)');
  await declareNothing(phone);
  await phone.getByRole('button', { name: 'My ratings over time' }).click();
  await phone.getByText(/Nothing yet: this page begins/u).waitFor();
  await stage.look(newcomer, 'learning-empty');
  await phone.getByRole('button', { name: 'Back to the panel' }).click();
  await phone.getByRole('button', { name: 'Practise on a locked evaluation' }).click();
  const begin = phone.getByRole('button', { name: /^Begin/u }).first();
  await begin.waitFor();
  await stage.look(newcomer, 'practices');
  await begin.click();
  await phone.getByText(/Sealed: your ratings stay on this device/u).waitFor();
  await rateStep(phone, 4);
  await phone.getByRole('button', { name: 'Next', exact: true }).click();
  await rateStep(phone, 1);
  await phone.getByText(/^2 of .+ tasks answered/u).waitFor();
  await stage.look(newcomer, 'practice');
  const practice = phone.url();
  newcomer.expected = NO_ANSWER;
  await phone.getByRole('link', { name: 'Catalogue' }).click();
  await phone.getByText(/You are practising/u).waitFor();
  await stage.look(newcomer, 'practising-catalogue');
  await phone.goto(practice);
  newcomer.expected = null;
  await phone.getByRole('button', { name: 'Finish and compare' }).click();
  await phone.getByRole('dialog').getByRole('button', { name: 'Finish and compare' }).click();
  await phone.getByRole('heading', { name: /^You and the panel/u }).waitFor();
  await stage.look(newcomer, 'practice-compared');
};

/** After the lock: the catalogue of the demonstration, what is published of it, what is learned from it. */
export const shelf: Chapter = {
  name: 'shelf',
  demonstration: true,
  play: async (stage) => {
    const lead = await stage.sit(LAPTOP);
    await catalogue(stage, lead);
    await published(stage, lead);
    await learning(stage, lead);
  },
};
