import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import type { Browser } from 'playwright-core';
import type { Look } from './camera.ts';
import { modeName } from './modes.ts';

const plain = (text: string): string =>
  text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('"', '&quot;');

const STYLE = `
  body { font: 15px/1.4 system-ui, sans-serif; margin: 1.5rem; background: #777; }
  section { background: #fff; padding: 1rem; margin: 0 0 1.5rem; }
  .looks { display: flex; flex-wrap: wrap; gap: 1rem; align-items: flex-start; }
  figure { margin: 0; }
  img { display: block; height: auto; max-height: 900px; object-fit: cover; object-position: top; border: 1px solid #777; }
  figcaption.wrong, li { color: #a00; }
`;

const figure = ({ mode, file, faults }: Look): string => `
  <figure>
    <figcaption class="${faults.length > 0 ? 'wrong' : ''}">${modeName(mode)}</figcaption>
    <a href="${file ?? ''}"><img src="${file ?? ''}" alt="" width="${String(mode.width === 360 ? 260 : 560)}" loading="lazy"></a>
  </figure>`;

const section = (screen: string, looks: readonly Look[]): string => `
  <section id="${screen.replace('/', '-')}">
    <h2>${plain(screen)}</h2>
    <ul>${looks.flatMap((l) => l.faults.map((f) => `<li>${modeName(l.mode)}: ${plain(f)}</li>`)).join('')}</ul>
    <div class="looks">${looks.map(figure).join('')}</div>
  </section>`;

/** All pictures on one page of its own, screen by screen, with what was wrong: `index.html` in the folder. */
export const writeContactSheet = (folder: string, looks: readonly Look[]): string => {
  const screens = [...new Set(looks.map((l) => l.screen))];
  const wrong = looks.filter((l) => l.faults.length > 0).length;
  const path = join(folder, 'index.html');
  writeFileSync(
    path,
    `<!doctype html><html lang="en"><meta charset="utf-8"><title>Every screen</title><style>${STYLE}</style>
    <h1>${String(screens.length)} screens, ${String(looks.length)} pictures, ${String(wrong)} with faults</h1>
    <p>All names and data are invented.</p>
    ${screens
      .map((s) =>
        section(
          s,
          looks.filter((l) => l.screen === s),
        ),
      )
      .join('')}</html>`,
  );
  return path;
};

/** The contact sheet as one picture for each screen, `sheet-*.png` in the folder. */
export const photographContactSheet = async (
  browser: Browser,
  folder: string,
  sheet: string,
): Promise<void> => {
  const page = await browser.newPage({ viewport: { width: 1900, height: 1000 } });
  await page.goto(pathToFileURL(sheet).href);
  for (const part of await page.locator('section').all()) {
    const id = (await part.getAttribute('id')) ?? '';
    await part.scrollIntoViewIfNeeded();
    await part.evaluate(async (section) => {
      const images = [...section.querySelectorAll('img')];
      for (const image of images) image.loading = 'eager';
      await Promise.all(images.map((image) => image.decode()));
    });
    await part.screenshot({ path: join(folder, `sheet-${id}.png`) });
  }
  await page.close();
};
