import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import type { CDPSession, Page } from 'playwright-core';
import { axeViolations, STRICT } from '../support/axe.ts';
import type { Seat } from '../support/people.ts';
import { modeName, type Mode } from './modes.ts';

/** One look at a screen in one mode: the picture's file inside the folder, and what was wrong. */
export interface Look {
  /** `chapter/screen`. */
  screen: string;
  mode: Mode;
  /** Null where no pictures are kept. */
  file: string | null;
  faults: string[];
}

/** A seat whose console is listened to. */
export interface Watched extends Heard {
  /** What the console may say here, because the network or the server is meant to say no. */
  expected: RegExp | null;
}

/** A seat that can be listened to for words in the wrong language. */
export interface Heard extends Seat {
  listen?: () => Promise<string[]>;
}

/** Higher pictures are cut here, in px: nobody looks further down a contact sheet. */
const HIGHEST = 6000;
/** The text size that browsers begin with, in px. */
const USUAL_TEXT = { standard: 16, fixed: 13 };

/** Listens to everything that a seat's console calls an error. */
export const watched = (seat: Heard): Watched => {
  const own: Watched = { ...seat, expected: null };
  seat.page.on('console', (message) => {
    if (message.type() !== 'error') return;
    const said = `console: ${message.text()} (${message.location().url})`;
    if (own.expected?.test(said) !== true) own.faults.push(said);
  });
  return own;
};

/** What stands beyond the right edge of a page that should not scroll sideways: by how much, and where from. */
const sideways = (page: Page): Promise<string[]> =>
  page.evaluate(() => {
    const edge = document.documentElement.clientWidth;
    const over = document.documentElement.scrollWidth - edge;
    if (over <= 0) return [];
    const beyond = [...document.body.querySelectorAll('*')].filter((e) => {
      const { right } = e.getBoundingClientRect();
      if (right <= edge + 0.5) return false;
      for (let p = e.parentElement; p && p !== document.body; p = p.parentElement)
        if (getComputedStyle(p).overflowX !== 'visible') return false;
      return ![...e.children].some((c) => c.getBoundingClientRect().right >= right);
    });
    const places = beyond
      .slice(0, 3)
      .map(
        (e) => `${[e.tagName, ...e.classList].join('.')} "${e.textContent.trim().slice(0, 30)}"`,
      );
    return [`sideways by ${String(over)} px: ${places.join(', ')}`];
  });

/** Takes pictures of screens in every asked mode, and notes what is wrong with each. */
export class Camera {
  readonly looks: Look[] = [];
  readonly #folder: string | null;
  readonly #modesOf: (nth: number) => readonly Mode[];
  readonly #wanted: RegExp;
  readonly #lines = new WeakMap<Page, CDPSession>();
  #nth = 0;

  /** `modesOf` says in which modes the nth screen is looked at; without a folder nothing is kept but the faults. */
  constructor(folder: string | null, modesOf: (nth: number) => readonly Mode[], wanted = /./u) {
    this.#folder = folder;
    this.#modesOf = modesOf;
    this.#wanted = wanted;
    if (folder !== null) mkdirSync(folder, { recursive: true });
  }

  /** Looks at what a seat shows now, named `chapter/screen`, and puts the page back as it was. */
  async look(seat: Watched, screen: string): Promise<void> {
    const { page } = seat;
    const size = page.viewportSize();
    const said = seat.faults.splice(0);
    if (!this.#wanted.test(screen)) return;
    const modes = this.#modesOf(this.#nth++);
    for (const [i, mode] of modes.entries()) {
      await this.#set(page, mode, mode.width === size?.width ? size.height : undefined);
      const faults = [...(i === 0 ? said : []), ...(await sideways(page))];
      if (i === 0 && seat.listen) faults.push(...(await seat.listen()));
      faults.push(...(await axeViolations(page, STRICT)).map((fault) => `axe: ${fault}`));
      const file = await this.#picture(page, screen, mode);
      faults.push(...seat.faults.splice(0));
      this.looks.push({ screen, mode, file, faults });
    }
    await this.#unset(page);
    if (size) await page.setViewportSize(size);
  }

  async #set(page: Page, mode: Mode, height?: number): Promise<void> {
    const usual = { 360: 780, 1280: 800, 1920: 1080 }[mode.width];
    await page.setViewportSize({ width: mode.width, height: height ?? usual });
    // One after the other: changed together, forced colours keep those of the scheme before.
    await page.emulateMedia({ forcedColors: 'none' });
    await page.emulateMedia({ colorScheme: mode.shown === 'dark' ? 'dark' : 'light' });
    await page.emulateMedia({
      reducedMotion: mode.motion === 'reduced' ? 'reduce' : 'no-preference',
      forcedColors: mode.colours === 'forced' ? 'active' : 'none',
    });
    await this.#dress(page, mode.shown === 'sun' ? 'sun' : 'auto', mode.text / 100);
  }

  async #unset(page: Page): Promise<void> {
    await page.emulateMedia({ colorScheme: null, reducedMotion: null, forcedColors: null });
    await this.#dress(page, 'auto', 1);
  }

  /** The device's own setting of the pages, and the size of text that somebody set in the browser. */
  async #dress(page: Page, shown: string, times: number): Promise<void> {
    const line = this.#lines.get(page) ?? (await page.context().newCDPSession(page));
    this.#lines.set(page, line);
    const fontSizes = {
      standard: USUAL_TEXT.standard * times,
      fixed: USUAL_TEXT.fixed * times,
    };
    await line.send('Page.setFontSizes', { fontSizes });
    await page.evaluate(async (mode) => {
      document.documentElement.dataset['mode'] = mode;
      await document.fonts.ready;
      for (let frames = 0; frames < 2; frames++)
        await new Promise((resolve) => requestAnimationFrame(resolve));
      // Colours that change in a moment are looked at when they have.
      await Promise.allSettled(
        document
          .getAnimations()
          .filter((a) => a.effect?.getComputedTiming().iterations !== Infinity)
          .map((a) => a.finished),
      );
    }, shown);
  }

  async #picture(page: Page, screen: string, mode: Mode): Promise<string | null> {
    if (this.#folder === null) return null;
    const file = `${screen.replace('/', '-')}--${modeName(mode)}.png`;
    // On a screen as high as the page nothing that stays in place covers what would be scrolled under it.
    const height = await page.evaluate(() =>
      document.querySelector('dialog[open]') ? 0 : document.documentElement.scrollHeight,
    );
    const shown = page.viewportSize()?.height ?? 0;
    if (height > shown) await this.#set(page, mode, Math.min(height, HIGHEST));
    await page.evaluate(() => scrollTo(0, 0));
    await page.screenshot({ path: join(this.#folder, file) });
    return file;
  }
}

/** How one look went, in a line for a terminal; nothing where all is well. */
export const complaint = ({ screen, mode, faults }: Look): string[] =>
  faults.map((fault) => `${screen} in ${modeName(mode)}: ${fault}`);
