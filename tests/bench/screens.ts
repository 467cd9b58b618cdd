import { loadavg } from 'node:os';
import type { Browser, Page } from 'playwright-core';
import { SeatClient } from '../../server/src/rehearse/seat-client.ts';
import buildFirst from '../support/build-first.ts';
import { launchBrowser } from '../support/chromium.ts';
import { LAPTOP } from '../support/people.ts';
import { freshDirectory, removeDirectory, startProgram } from '../support/program.ts';
import { slowLine } from '../support/slow-line.ts';
import { arrivalTimes, openDevice, pressTimes, type DevicePlan } from './screens/device.ts';
import { openingsPainted } from './screens/opening.ts';
import { recordWaterfall } from './screens/waterfall.ts';
import { median, quantile } from './suite/numbers.ts';
import { buildWorld } from './suite/world.ts';

/**
 * `npm run bench:screens`: how soon a phone that has never been here paints and can rate, and how soon a press is painted,
 * in real Chromium at a quarter of this machine's speed over a line of 1.6 Mbit/s and 150 ms that all connections share.
 * Medians of RUNS (7); ends with 1 when a goal is passed and GATE=1. STEPS=1 tells what the last visit asked for and when.
 * PART names what is measured alone, by commas: visits, sheet, opened, desk, opening.
 */
const RUNS = Number(process.env['RUNS'] ?? 7);
const STEPS = process.env['STEPS'] === '1';
const PARTS = ['visits', 'sheet', 'opened', 'desk', 'opening'] as const;
const wanted = process.env['PART']?.split(',') ?? PARTS;
for (const part of wanted)
  if (!(PARTS as readonly string[]).includes(part)) throw new Error(`no part is called ${part}`);
const CPU = 4;
const LINE = { bitsPerSecond: 1_600_000, roundTripMs: 150 };
const RUNGS = '.rungs input:enabled';

let passed = 0;
const tell = (what: string, values: readonly number[], goal: number): void => {
  const middle = median(values);
  if (middle > goal) passed++;
  const spread = `${quantile(values, 0).toFixed(0)} to ${quantile(values, 1).toFixed(0)}`;
  process.stdout.write(
    `  ${what.padEnd(52)} ${middle.toFixed(0).padStart(5)} ms (${spread}, n ${String(values.length)}), goal ${String(goal)}${middle > goal ? '  OVER' : ''}\n`,
  );
};

/** First visits, each on a fresh device. */
const visits = async (browser: Browser, plan: DevicePlan, path: string) => {
  const seen: { paint: number; usable: number }[] = [];
  for (let i = 0; i < RUNS; i++) {
    const { page, context } = await openDevice(browser, plan);
    const steps = STEPS ? await recordWaterfall(await context.newCDPSession(page)) : null;
    seen.push(await arrivalTimes(page, plan.url + path, plan.wanted));
    for (const { at, what } of (i === RUNS - 1 ? steps?.() : null) ?? [])
      process.stdout.write(`  ${String(at).padStart(6)} ${what}\n`);
    await context.close();
  }
  return { paint: seen.map((s) => s.paint), usable: seen.map((s) => s.usable) };
};

const press = (page: Page, name: string) => (): Promise<void> =>
  page.getByRole('button', { name, exact: true }).click();

const rung = (page: Page, step: number) => (): Promise<void> =>
  page.locator(`label:has(input[type="radio"][value="${String(step)}"])`).click();

/** Every press of a screen, told together. */
const presses = async (what: string, page: Page, acts: (() => Promise<void>)[]): Promise<void> => {
  const { presses: times, longest } = await pressTimes(page, acts);
  tell(`${what}, press to painted`, times, 100);
  process.stdout.write(
    `    slowest ${Math.max(...times).toFixed(0)} ms, longest task ${longest.toFixed(0)} ms\n`,
  );
};

buildFirst();
const directory = freshDirectory();
const world = await buildWorld(directory, {
  panels: 1,
  sealed: 1,
  reviewers: 12,
  prefilled: 30,
  devices: 1,
});
const panel = world.panels[0];
const evaluation = panel?.sealed[0]?.id ?? '';
const cookie = panel?.seats[0]?.cookies[0] ?? '';
const moderator = panel?.moderator ?? '';
const program = await startProgram(directory);
const browser = await launchBrowser();
const line = await slowLine(program.url, LINE);
const sheet = `/evaluation/${evaluation}/sheet`;
const near = { url: program.url, cpu: CPU };
const many = <T>(act: (i: number) => T): T[] => Array.from({ length: 3 * RUNS }, (_, i) => act(i));

const measureVisits = async (): Promise<void> => {
  const slow = { url: line.url, cpu: CPU };
  const arrive = await visits(browser, { ...slow, wanted: '#code' }, '/join');
  tell('Arrive, first paint', arrive.paint, 1800);
  tell('Arrive, a code can be typed', arrive.usable, 3000);
  const first = await visits(browser, { ...slow, cookie, wanted: RUNGS }, sheet);
  tell('sheet, first paint', first.paint, 1800);
  tell('sheet, a rating can be given', first.usable, 3000);
};

/** A reviewer's device at the sheet. */
const rater = async (usable: string): Promise<Page> => {
  const { page } = await openDevice(browser, { ...near, cookie, wanted: usable });
  await arrivalTimes(page, program.url + sheet, usable);
  return page;
};

const measureSheet = async (): Promise<void> => {
  const page = await rater(RUNGS);
  const rungs = many((i) => rung(page, i % 5));
  await presses('sheet of 30 tasks, a rung', page, rungs);
  const nexts = many(() => press(page, 'Next'));
  await presses('sheet of 30 tasks, Next', page, nexts);
};

const openRound = async (): Promise<void> => {
  const lead = new SeatClient(program.url, moderator);
  await lead.watch(evaluation);
  await lead.onEvaluation({ type: 'open-round', withMissing: true });
  lead.close();
};

const measureOpened = async (): Promise<void> => {
  const page = await rater('[data-testid="opened-task"]');
  const nexts = many(() => press(page, 'Next'));
  await presses('opened by 12 reviewers, Next', page, nexts);
};

const measureDesk = async (): Promise<void> => {
  const stage = '[data-testid="stage"]';
  const plan = { ...near, cookie: moderator, wanted: stage, viewport: LAPTOP };
  const { page } = await openDevice(browser, plan);
  await arrivalTimes(page, `${program.url}/evaluation/${evaluation}/desk`, stage);
  await page.getByTestId('opened-task').first().waitFor();
  const keys = many(() => () => page.keyboard.press('j'));
  await presses('Desk, 30 tasks x 12 reviewers, next task by key', page, keys);
};

/** On a machine of this speed and on a slow one. */
const measureOpening = async (): Promise<void> => {
  for (const cpu of [1, CPU]) {
    const painted = await openingsPainted(browser, { reviewers: 50, openings: RUNS, cpu });
    tell(`opening to 50 reviewers, painted, CPU x ${String(cpu)} slower`, painted, 300);
    process.stdout.write(`    95th part ${quantile(painted, 0.95).toFixed(0)} ms\n`);
  }
};

try {
  process.stdout.write(
    `Chromium ${browser.version()}, CPU x ${String(CPU)} slower, load ${(loadavg()[0] ?? 0).toFixed(1)}\n`,
  );
  if (wanted.includes('visits')) await measureVisits();
  if (wanted.includes('sheet')) await measureSheet();
  if (wanted.includes('opened') || wanted.includes('desk')) await openRound();
  if (wanted.includes('opened')) await measureOpened();
  if (wanted.includes('desk')) await measureDesk();
  if (wanted.includes('opening')) await measureOpening();
} finally {
  await browser.close();
  await line.close();
  await program.stop();
  removeDirectory(directory);
}
process.exit(passed > 0 && process.env['GATE'] === '1' ? 1 : 0);
