import type { Browser, Page } from 'playwright-core';
import { expect, onTestFinished, test } from 'vitest';
import type { OpenSheet } from '../../server/src/rehearse/seat-client.ts';
import { launchBrowser, noBrowser } from '../support/chromium.ts';
import { cuttingProxy } from '../support/cutting-proxy.ts';
import { livePanel } from '../support/live-panel.ts';
import { Person, Pictures, type Shot } from '../support/pictures.ts';
import { DETAILS } from '../support/specimen.ts';
import { freshDirectory, removeDirectory, runProgram, startProgram } from '../support/program.ts';

/** A shot that is there once `selector` is. */
const shot = (name: string, who: string, path: string, selector: string): Shot => ({
  name,
  who,
  path,
  ready: (page: Page) => page.locator(selector).first().waitFor(),
});

const REASON = 'Invented: talked through at the bench, piece in hand.';
/** Tasks of the protocol by their order. */
const tasksOf = (protocol: { sections: { tasks: { id: string }[] }[] }): string[] =>
  protocol.sections.flatMap((s) => s.tasks.map((t) => t.id));

/** Waits until the sheet of a seat may be rated, and rates: a step for each task, null for none. */
const rate = async (sheet: OpenSheet, tasks: string[], steps: (number | null)[]): Promise<void> => {
  tasks.forEach((task, i) => {
    const step = steps[i];
    if (step != null) sheet.set(task, { answer: step, at: new Date().toISOString() });
  });
  await sheet.saved();
};

const world = async () => {
  const directory = freshDirectory();
  const made = await runProgram(['demo', '--data-dir', directory]);
  expect(made.code, made.err).toBe(0);
  const [card = '', record = ''] = [...made.out.matchAll(/\/public#\S+/gu)].map(([link]) => link);
  const program = await startProgram(directory, 0, {}, ['--new-sign-in-link']);
  const browser: Browser = await launchBrowser();
  const line = await cuttingProxy(program.url);
  onTestFinished(async () => {
    await browser.close();
    await line.close();
    await program.stop();
    removeDirectory(directory);
  });
  return { program, browser, line, card, record };
};

/** Screens that need nothing to happen, on a demonstration's catalogue. `e` is one of its locked evaluations. */
const standing = (e: string, specimen: string, card: string, record: string): Shot[] => [
  shot('arrive empty', 'nobody', '/join', '#code'),
  shot('sign-in', 'nobody', '/sign-in', 'input'),
  shot('waiting over', 'nobody', '/waiting', 'h1'),
  shot('public link not whole', 'nobody', '/public', 'main p'),
  shot('public record', 'nobody', record, 'h1'),
  shot('public card', 'nobody', card, 'h1'),
  shot('nothing here', 'nobody', '/no/such/place', 'main .empty'),
  shot('home', 'lead', '/', 'a.panel'),
  shot('catalogue', 'lead', '/catalogue', 'table'),
  shot('catalogue nothing fits', 'lead', '/catalogue?text=zzzz', '.empty'),
  shot('compare nothing chosen', 'lead', '/compare', 'main .empty'),
  shot('specimens', 'lead', '/specimens', 'main a'),
  shot('specimen', 'lead', `/specimen/${specimen}`, 'h1'),
  shot('card', 'lead', `/card/${e}`, 'h1'),
  shot('card error', 'lead', '/card/ev_AAAAAAAAAAAAAAAAAAAAAA', '[role=alert]'),
  shot('publish', 'lead', `/evaluation/${e}/publish`, 'h1'),
  shot('record locked', 'lead', `/evaluation/${e}/record`, '[data-testid=verdict]'),
];

const ready = '[data-testid="save-line"]';
/** The screens of one evaluation, by stage. */
const live = (panel: string, e: string) => {
  const at = (screen: string): string => `/evaluation/${e}/${screen}`;
  return {
    preparing: [
      shot('panel', 'moderator', `/panel/${panel}`, 'form'),
      shot('desk waiting', 'moderator', at('desk'), '[data-testid=stage]'),
      shot('fit check', 'moderator', at('fit'), 'form'),
      shot('trials empty', 'moderator', at('trials'), 'h1'),
      shot('media empty', 'moderator', at('media'), 'h1'),
      shot('record not yet', 'moderator', at('record'), 'main .empty'),
      shot('sheet waiting', 'a', at('sheet'), 'main [role=status]'),
      shot('wall waiting', 'wall', at('wall'), '.wall h1'),
      shot('follow waiting', 'observer', `/evaluation/${e}`, '.empty'),
    ],
    sealed: [
      shot('desk sealed', 'moderator', at('desk'), 'nav .sealed'),
      shot('sheet sealed', 'a', at('sheet'), `${ready} ~ p`),
      shot('wall sealed', 'wall', at('wall'), '.fact'),
    ],
    offline: [shot('sheet offline', 'd', at('sheet'), '.bar')],
    opened: [
      shot('desk divergent', 'moderator', at('desk'), '[data-testid=insight]'),
      shot('sheet opened', 'a', at('sheet'), '[data-testid=opened-task]'),
      shot('wall divergent', 'wall', at('wall'), '.strip'),
      shot('follow opened', 'observer', `/evaluation/${e}`, '[data-testid=opened-task]'),
    ],
    late: [
      shot('desk late', 'moderator', at('desk'), '[data-testid=late]'),
      shot('sheet late', 'd', at('sheet'), 'main [role=alert]'),
    ],
    settled: [
      shot('desk settled', 'moderator', at('desk'), 'nav .settled'),
      shot('wall settled', 'wall', at('wall'), '.strip'),
    ],
    locked: [
      shot('desk locked', 'moderator', at('desk'), '[data-testid=stage]'),
      shot('sheet locked', 'a', at('sheet'), '[data-testid=opened-task]'),
      shot('wall locked', 'wall', at('wall'), 'footer'),
    ],
  };
};

const names = (): string[] => [
  ...standing('', '', '', '').map((s) => s.name),
  ...Object.values(live('', ''))
    .flat()
    .map((s) => s.name),
  'specimens empty',
  'arrive refused',
  'desk refused',
];

/** `SHOTS=<folder>` keeps the pictures and makes one page of them; `EVERY=1` takes every combination instead of pairs. */
test.skipIf(noBrowser())(
  'every screen and state, in every mode, size, text and language: nothing for axe to find, nothing beyond the side',
  { timeout: 3_600_000 },
  async () => {
    const { program, browser, line, card, record } = await world();
    const pictures = new Pictures(names(), process.env['EVERY'] === '1', process.env['SHOTS']);
    const { moderator, panel, evaluation, join } = await livePanel(
      program.url,
      program.signInLink ?? '',
    );
    const api = async <T>(path: string): Promise<T> =>
      (
        await fetch(`${program.url}/api${path}`, { headers: { cookie: moderator.cookie } })
      ).json() as Promise<T>;
    const { rows } = await api<{ rows: { evaluation: string }[] }>('/catalogue');
    await pictures.take(
      shot('specimens empty', 'lead', '/specimens', 'main .empty'),
      await Person.open(browser, program.url, moderator.cookie),
    );
    const registered = await moderator.onPanel(panel, {
      type: 'register-specimen',
      details: DETAILS,
    });
    if (registered?.kind !== 'specimen') throw new Error('no specimen');
    const [a, b, c] = [
      await join('reviewer', 'Ada (invented)'),
      await join('reviewer', 'Bo (invented)'),
      await join('reviewer', 'Cy (invented)'),
    ];
    const d = await join('reviewer', 'Di (invented)');
    const wall = await join('wall', '');
    const observer = await join('observer', 'Olu (invented)');
    const open = (cookie: string, url = program.url): Promise<Person> =>
      Person.open(browser, url, cookie);
    const people: Record<string, Person> = {
      nobody: await open(''),
      lead: await open(moderator.cookie),
      moderator: await open(moderator.cookie),
      a: await open(a.client.cookie),
      d: await open(d.client.cookie, line.url),
      wall: await open(wall.client.cookie),
      observer: await open(observer.client.cookie),
    };
    const who = (name: string): Person => {
      const person = people[name];
      if (!person) throw new Error(`nobody is ${name}`);
      return person;
    };
    const take = async (shots: readonly Shot[]): Promise<void> => {
      for (const s of shots) await pictures.take(s, who(s.who));
    };
    const stages = live(panel, evaluation);

    await take(standing(rows[0]?.evaluation ?? '', registered.specimen, card, record));
    await pictures.take(
      {
        ...shot('arrive refused', 'nobody', '/join', '#code'),
        ready: async (page) => {
          if ((await page.locator('main .plum').count()) > 0) return;
          await page.locator('#code').fill('ABCDEFGH');
          await page.locator('main button.main').click();
          await page.locator('main .plum').waitFor();
        },
      },
      who('nobody'),
    );
    await take(stages.preparing);

    await moderator.onEvaluation({ type: 'start-round' });
    await take(stages.sealed);
    const tasks = tasksOf(await api('/protocols/emergency-access/1.0.0'));
    for (const [seat, steps] of [
      [a, tasks.map((_, i) => i % 3)],
      [b, tasks.map((_, i) => (i === 3 ? 5 : i % 3))],
      [c, tasks.map((_, i) => (i === 13 ? 4 : i % 3))],
    ] as const) {
      await seat.client.until('a sheet', (v) => (v.me?.sheets.length ?? 0) > 0);
      await rate(await seat.client.openSheet(1), tasks, [...steps]);
      await seat.client.onEvaluation({ type: 'finish-sheet' });
    }
    for (const language of ['en', 'de']) {
      const page = await who('d').at(language, `/evaluation/${evaluation}/sheet`);
      await page.locator('input[type=radio]:enabled').first().waitFor();
    }
    line.cut();
    await take(stages.offline);
    await (
      await who('d').at('en', `/evaluation/${evaluation}/sheet`)
    )
      .locator('input[type=radio]')
      .nth(2)
      .check();
    await moderator.onEvaluation({ type: 'open-round', withMissing: true });
    await take(stages.opened);
    line.mend();
    await take(stages.late);

    await moderator.until('late ratings', (v) => (v.late?.length ?? 0) > 0);
    for (const { late: id } of moderator.view.late ?? [])
      await moderator.onEvaluation({ type: 'decide-late', late: id, admit: true, reason: REASON });
    for (const task of moderator.view.queue ?? []) {
      const owed = moderator.view.tasks?.[task]?.gate?.owed === true;
      if (owed)
        await moderator.onEvaluation({ type: 'decide-gate', task, confirm: false, reason: REASON });
      await moderator.onEvaluation({
        type: 'settle-task',
        task,
        how: 'leave-open',
        value: null,
        reason: REASON,
      });
    }
    await moderator.onEvaluation({ type: 'adopt-undisputed' });
    await take(stages.settled);
    await moderator.onEvaluation({ type: 'lock', meaning: 'Invented.' });
    await take(stages.locked);
    await pictures.take(
      {
        ...shot('desk refused', 'moderator', `/evaluation/${evaluation}/desk`, 'h1'),
        ready: async (page) => {
          await page.keyboard.press('w');
          await page.locator('main .panel.plum').waitFor();
        },
      },
      who('moderator'),
    );

    pictures.contactSheet();
    const faults = pictures.taken.flatMap((t) =>
      t.faults.map((f) => `${Object.values(t.row).join(', ')}: ${f}`),
    );
    expect(faults).toEqual([]);
    expect(new Set(pictures.taken.map((t) => t.shot)).size).toBe(names().length);
  },
);
