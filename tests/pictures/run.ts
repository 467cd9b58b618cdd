/**
 * Every screen in every state, in every pair of modes, as pictures and a contact sheet in tests/.output/pictures.
 * `LANGUAGE=de` walks the German pages and tells English that is left on them.
 * `ALL=1` takes every combination of modes, `MODES=360|forced` of them what fits; `SCREENS=round/desk` only those screens. Ends with 1 when anything
 * scrolls sideways, axe finds a fault, the console reports an error, or a chapter could not be played to its end.
 */
import { rmSync } from 'node:fs';
import { join } from 'node:path';
import buildFirst from '../support/build-first.ts';
import { launchBrowser } from '../support/chromium.ts';
import { Camera, complaint } from './camera.ts';
import { CHAPTERS } from './chapters.ts';
import { photographContactSheet, writeContactSheet } from './contact-sheet.ts';
import { everyMode, modeName, pairwiseModes } from './modes.ts';
import { playChapter } from './stage.ts';
import { tongueOf } from './tongue.ts';

const folder = join(import.meta.dirname, '../.output/pictures');
const say = (line: string): void => void process.stdout.write(`${line}\n`);

buildFirst();
rmSync(folder, { recursive: true, force: true });
const fitting = new RegExp(process.env['MODES'] ?? '.', 'u');
const modes = (process.env['ALL'] === '1' ? everyMode() : pairwiseModes()).filter((mode) =>
  fitting.test(modeName(mode)),
);
const wanted = process.env['SCREENS'] ?? '.';
const camera = new Camera(folder, () => modes, new RegExp(wanted, 'u'));
const browser = await launchBrowser();
const language = process.env['LANGUAGE'] ?? 'en';
const tongue = language === 'en' ? undefined : await tongueOf(language);
let broken = 0;
for (const chapter of CHAPTERS) {
  // A chapter of which nothing is wanted is not played.
  if (/^\w+\//u.test(wanted) && !wanted.startsWith(`${chapter.name}/`)) continue;
  const began = performance.now();
  const before = camera.looks.length;
  try {
    await playChapter(browser, camera, chapter, tongue);
  } catch (error) {
    broken += 1;
    say(`${chapter.name} broke: ${error instanceof Error ? error.message : String(error)}`);
  }
  const took = ((performance.now() - began) / 1000).toFixed(0);
  say(`${chapter.name}: ${String(camera.looks.length - before)} pictures, ${took} s`);
}
const complaints = camera.looks.flatMap(complaint);
for (const line of complaints) say(line);
const sheet = writeContactSheet(folder, camera.looks);
await photographContactSheet(browser, folder, sheet);
await browser.close();
const screens = new Set(camera.looks.map((l) => l.screen)).size;
say(
  `${String(screens)} screens in ${String(modes.length)} modes: ${String(camera.looks.length)} pictures, ${String(complaints.length)} faults, ${String(broken)} chapters broken`,
);
say(sheet);
process.exitCode = complaints.length + broken > 0 ? 1 : 0;
