import type { Browser } from 'playwright-core';
import { cuttingProxy, type CuttingProxy } from '../support/cutting-proxy.ts';
import { invite, LAPTOP, openPanel, person, takeByLink } from '../support/people.ts';
import {
  freshDirectory,
  removeDirectory,
  runProgram,
  startProgram,
  type Program,
} from '../support/program.ts';
import { watched, type Camera, type Watched } from './camera.ts';
import type { Tongue } from './tongue.ts';

/** What a chapter plays on: a server of its own with invented data, a browser, a camera. */
export interface Stage {
  program: Program;
  /** A line to the server that a chapter can cut. */
  line: CuttingProxy;
  /** What the program said when it made the demonstration; empty without one. */
  told: string;
  /** A person at a device of their own. */
  sit: (size: { width: number; height: number }) => Promise<Watched>;
  look: (seat: Watched, screen: string) => Promise<void>;
}

/** A part of the walk: every screen of one matter, on a server of its own. */
export interface Chapter {
  name: string;
  /** Whether it begins with the demonstration's catalogue, or with an empty server. */
  demonstration?: boolean;
  play: (stage: Stage) => Promise<void>;
}

/** What a console says when a line is cut or a server refuses: expected where a chapter does that on purpose. */
export const NO_ANSWER = /Failed to load resource|WebSocket connection|ERR_/u;

/** Plays one chapter and clears everything away, also when it broke. */
export const playChapter = async (
  browser: Browser,
  camera: Camera,
  { name, demonstration, play }: Chapter,
  tongue?: Tongue,
): Promise<void> => {
  const directory = freshDirectory();
  const made =
    demonstration === true ? await runProgram(['demo', '--data-dir', directory]) : undefined;
  if (made && made.code !== 0) throw new Error(`no demonstration: ${made.err}`);
  const program = await startProgram(directory, 0, {}, made ? ['--new-sign-in-link'] : []);
  const line = await cuttingProxy(program.url);
  const seats: Watched[] = [];
  try {
    await play({
      program,
      line,
      told: made?.out ?? '',
      sit: async (size) => {
        const one = await person(browser, size, tongue?.locale);
        const seat = watched(tongue ? tongue.speaks(one) : one);
        seats.push(seat);
        return seat;
      },
      look: (seat, screen) => camera.look(seat, `${name}/${screen}`),
    });
  } finally {
    await Promise.all(seats.map((seat) => seat.page.context().close()));
    await line.close();
    await program.stop();
    removeDirectory(directory);
  }
};

/** The moderator of a new panel, on the panel's page. */
export const moderatorOf = async (stage: Stage): Promise<Watched> => {
  const moderator = await stage.sit(LAPTOP);
  await openPanel(moderator.page, stage.program.signInLink ?? '');
  return moderator;
};

/** Somebody who takes a seat by a link, over the line that can be cut where it says so. */
export const seated = async (
  stage: Stage,
  moderator: Watched,
  role: string,
  name: string,
  size: { width: number; height: number },
  onLine = false,
): Promise<Watched> => {
  const seat = await stage.sit(size);
  const { link } = await invite(moderator.page, role);
  const way = onLine ? link.replace(stage.program.url, stage.line.url) : link;
  await takeByLink(seat.page, way, name);
  return seat;
};

/** An evaluation of an invented helmet; ends on its desk, or before the first round where `start` is false. */
export const makeEvaluation = async ({ page }: Watched, start: boolean): Promise<void> => {
  await page.getByLabel('Sport').fill('gridiron');
  await page.getByLabel('Maker', { exact: true }).fill('Larkmoor Guardworks (invented)');
  await page.getByLabel('Model', { exact: true }).fill('Heron 3');
  await page.getByRole('button', { name: 'Make an evaluation' }).click();
  const begin = page.getByRole('button', { name: /Start round 1/u });
  await begin.waitFor();
  if (!start) return;
  await begin.click();
  await page
    .getByTestId('stage')
    .getByText(/Sealed/u)
    .waitFor();
};
