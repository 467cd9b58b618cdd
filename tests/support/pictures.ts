import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Browser, BrowserContext, Page } from 'playwright-core';
import { axeViolations } from './axe.ts';
import { everyCombination, pairwise, type Factors, type Row } from './pairwise.ts';

/** How a screen may have to be shown. */
const SHOWN = {
  language: ['en', 'de'],
  mode: ['light', 'dark', 'sun'],
  width: ['360', '1280', '1920'],
  text: ['100', '200'],
  motion: ['no-preference', 'reduce'],
  colours: ['none', 'active'],
} satisfies Factors;

/** A screen in a state: who sees it, where, and when it is there. The wall is never smaller than a laptop's screen. */
export interface Shot {
  name: string;
  who: string;
  path: string;
  ready: (page: Page) => Promise<unknown>;
}

/** A picture that was taken, and what is wrong with it. */
export interface Taken {
  shot: string;
  row: Row;
  file: string | null;
  faults: string[];
}

/** One person's devices: the same seat, once in each language. */
export class Person {
  readonly #pages = new Map<string, Page>();
  readonly #contexts: BrowserContext[] = [];
  readonly #url: string;

  private constructor(url: string) {
    this.#url = url;
  }

  /** Opens them with the session of `cookie`; an empty one is nobody. */
  static async open(browser: Browser, url: string, cookie: string): Promise<Person> {
    const person = new Person(url);
    for (const [language, locale] of [
      ['en', 'en-GB'],
      ['de', 'de-DE'],
    ] as const) {
      const context = await browser.newContext({ locale });
      const [name, value] = cookie.split(';')[0]?.split('=') ?? [];
      if (name && value) await context.addCookies([{ name, value, url }]);
      person.#contexts.push(context);
      const page = await context.newPage();
      page.setDefaultTimeout(15_000);
      person.#pages.set(language, page);
    }
    return person;
  }

  /** The page in a language, at `path`; it is not loaded again when it is there already. */
  async at(language: string, path: string): Promise<Page> {
    const page = this.#pages.get(language);
    if (!page) throw new Error(`no page in ${language}`);
    if (page.url() !== `${this.#url}${path}`) await page.goto(`${this.#url}${path}`);
    return page;
  }
}

/** Shows a page as `row` asks; nothing is loaded again. */
const show = async (page: Page, row: Row): Promise<void> => {
  const [width, high] = [Number(row['width']), row['width'] === '360' ? 740 : 900];
  const scheme = row['mode'] === 'dark' ? 'dark' : 'light';
  await page.setViewportSize({ width, height: high });
  await page.emulateMedia({
    colorScheme: scheme,
    reducedMotion: row['motion'] as 'reduce',
    forcedColors: row['colours'] as 'active',
  });
  await page.evaluate(
    ([mode, text]) => {
      document.documentElement.dataset['mode'] = mode === 'sun' ? 'sun' : 'auto';
      document.documentElement.style.fontSize = text === '200' ? '225%' : '';
      scrollTo(0, 0);
    },
    [row['mode'], row['text']],
  );
};

/** Things that stand beyond the side of the page, where the page can then be pushed sideways. */
const beyond = (page: Page): Promise<string[]> =>
  page.evaluate(() => {
    const over = document.documentElement.scrollWidth - innerWidth;
    return over > 0 ? [`the page is ${String(over)} px wider than its screen`] : [];
  });

/** Takes the pictures of states as they come up, in the rows that the chosen plan has for each. */
export class Pictures {
  readonly taken: Taken[] = [];
  readonly #rows: Row[];
  readonly #folder: string | undefined;

  /** `shots` are all names there will be; `folder` where pictures go, undefined for none. */
  constructor(shots: readonly string[], every: boolean, folder: string | undefined) {
    this.#rows = (every ? everyCombination : pairwise)({ shot: shots, ...SHOWN });
    this.#folder = folder;
    if (folder !== undefined) mkdirSync(folder, { recursive: true });
  }

  async take(shot: Shot, person: Person): Promise<void> {
    const rows = this.#rows.filter((r) => r['shot'] === shot.name);
    if (rows.length === 0) throw new Error(`${shot.name} is in no plan`);
    for (const row of rows.toSorted((a, b) =>
      (a['language'] ?? '').localeCompare(b['language'] ?? ''),
    )) {
      const page = await person.at(row['language'] ?? 'en', shot.path);
      await shot.ready(page);
      await show(page, row);
      const faults = [...(await axeViolations(page)), ...(await beyond(page))];
      this.taken.push({ shot: shot.name, row, faults, file: await this.#keep(page, row) });
    }
  }

  async #keep(page: Page, row: Row): Promise<string | null> {
    if (this.#folder === undefined) return null;
    const file = `${Object.values(row)
      .join('_')
      .replace(/[^\w-]+/gu, '-')}.jpg`;
    const path = join(this.#folder, file);
    await page.screenshot({ path, fullPage: true, type: 'jpeg', quality: 60 });
    return file;
  }

  /** One page with every picture on it, by state. */
  contactSheet(): void {
    if (this.#folder === undefined) return;
    const figure = (t: Taken): string =>
      `<figure><a href="${t.file ?? ''}"><img loading="lazy" src="${t.file ?? ''}" alt=""></a><figcaption>${Object.values(t.row).slice(1).join(' · ')}${t.faults.length > 0 ? `<br><b>${String(t.faults.length)} faults</b>` : ''}</figcaption></figure>`;
    const states = [...new Set(this.taken.map((t) => t.shot))].map(
      (s) =>
        `<h2>${s}</h2><div>${this.taken
          .filter((t) => t.shot === s)
          .map(figure)
          .join('')}</div>`,
    );
    const style =
      'body{font:16px system-ui;margin:1rem;background:#ddd}div{display:flex;flex-wrap:wrap;gap:1rem;align-items:start}figure{margin:0;width:18rem}img{width:100%;max-height:26rem;object-fit:cover;object-position:top;border:1px solid #888}figcaption{font-size:.8rem}';
    writeFileSync(
      join(this.#folder, 'index.html'),
      `<!doctype html><meta charset="utf-8"><title>Every screen and state</title><style>${style}</style><h1>${String(this.taken.length)} pictures</h1>${states.join('')}`,
    );
  }
}
