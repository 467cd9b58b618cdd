import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { launchBrowser } from './chromium.ts';

/** The folder of what the pages serve as it is. */
export const PUBLIC = join(import.meta.dirname, '../../web/public');

/**
 * The pictures of the program on a device's own screens, pixels square. `full`: without corners of its own, the drawing
 * within the middle four fifths, for systems that cut their own shape out of it.
 */
export const ICONS = [
  { file: 'icon-192.png', size: 192, full: false },
  { file: 'icon-512.png', size: 512, full: false },
  { file: 'icon-maskable-512.png', size: 512, full: true },
  { file: 'icon-touch-180.png', size: 180, full: true },
] as const;

/** The drawing as it stands, or as large as its ground with the drawing at four fifths. */
const drawn = (svg: string, full: boolean): string => {
  if (!full) return svg;
  const ground = '<rect width="64" height="64" fill="#10151c"/>';
  return svg
    .replace(/<rect [^>]+>/u, `${ground}<g transform="translate(6.4 6.4) scale(0.8)">`)
    .replace('</svg>', '</g></svg>');
};

/** Draws them anew from icon.svg: `npx tsx tests/support/draw-icons.ts`. */
const drawIcons = async (): Promise<void> => {
  const svg = readFileSync(join(PUBLIC, 'icon.svg'), 'utf8');
  const browser = await launchBrowser();
  for (const { file, size, full } of ICONS) {
    const page = await browser.newPage({ viewport: { width: size, height: size } });
    const style = '<style>body{margin:0}svg{display:block;width:100vw;height:100vh}</style>';
    await page.setContent(style + drawn(svg, full));
    writeFileSync(join(PUBLIC, file), await page.screenshot({ omitBackground: true }));
  }
  await browser.close();
};

if (process.argv[1] === import.meta.filename) await drawIcons();
