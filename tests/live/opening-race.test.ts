import { setTimeout as pause } from 'node:timers/promises';
import { expect, test } from 'vitest';
import type { EvaluationView } from '../../shared-types/src/index.ts';
import { inventedFitCommand } from '../../server/src/rehearse/invented-fit.ts';
import { seededRandom } from '../../server/src/rehearse/random.ts';
import type { OpenSheet, SeatClient } from '../../server/src/rehearse/seat-client.ts';
import { livePanel } from '../support/live-panel.ts';
import { liveServer } from '../support/live-server.ts';
import { SPECIMEN } from '../support/specimen.ts';

/** How many rounds are opened while edits are in flight: a few by default, hundreds for a proper look. */
const RACES = Number(process.env['RACES'] ?? 8);
const SEED = Number(process.env['SEED'] ?? 20261126);
const WAIT = 60_000;
const TASKS = ['chest-access', 'aed-pads'] as const;

type Panel = Awaited<ReturnType<typeof livePanel>>;

const sealedRound = async (p: Panel, reviewers: readonly SeatClient[]): Promise<OpenSheet[]> => {
  const made = await p.moderator.onPanel(p.panel, {
    type: 'create-evaluation',
    title: 'Heron 5 (invented)',
    specimen: SPECIMEN,
    protocol: { id: 'emergency-access', version: '1.0.0' },
  });
  const evaluation = made?.kind === 'evaluation' ? made.evaluation : '';
  for (const client of [p.moderator, ...reviewers]) await client.watch(evaluation);
  await p.moderator.onEvaluation(inventedFitCommand(p.moderator.view.me?.seat ?? ''));
  await p.moderator.onEvaluation({ type: 'start-round' });
  const sheets: OpenSheet[] = [];
  for (const client of reviewers) {
    await client.until('the round', (v) => v.me?.sheets.length === 1, WAIT);
    const sheet = await client.openSheet(1);
    await sheet.saved();
    for (const task of TASKS) sheet.set(task, { answer: 1 });
    await sheet.saved();
    sheets.push(sheet);
  }
  return sheets;
};

/** Steps that a view shows, `seat task` to step. */
const stepsOf = (view: Partial<EvaluationView>): Map<string, number | null> =>
  new Map(
    TASKS.flatMap((task) =>
      (view.tasks?.[task]?.ratings ?? []).map(({ seat, rating }): [string, number | null] => [
        `${seat} ${task}`,
        rating.step,
      ]),
    ),
  );

/** Looks at every state of a view until it shows the opening whole, and throws when one shows a part of it. */
const openedWhole = (client: SeatClient, all: number): Promise<void> =>
  client.until(
    'the opening',
    (view) => {
      const shown = stepsOf(view).size;
      if (shown > 0 && shown < all) throw new Error(`${String(shown)} of ${String(all)} are shown`);
      return view.head?.stage === 'opened' && shown === all;
    },
    WAIT,
  );

test(
  `SE-2, SE-11: ${String(RACES)} openings against edits in flight: what was saved before is in, what is shown is one state`,
  { timeout: 60_000 + RACES * 20_000 },
  async () => {
    const random = seededRandom(SEED);
    const server = await liveServer();
    const p = await livePanel(server.url, server.signInLink);
    const seats = [];
    for (const name of ['Ada', 'Ben', 'Cem']) seats.push(await p.join('reviewer', name));
    const reviewers = seats.map(({ client }) => client);
    const found = { in: 0, refused: 0 };
    for (let race = 0; race < RACES; race++) {
      const where = `seed ${String(SEED)}, race ${String(race)}`;
      const sheets = await sealedRound(p, reviewers);
      const all = reviewers.length * TASKS.length;
      const savedBefore = new Set<number>();
      let opened = false;
      const edits = sheets.map(async (sheet, i) => {
        await pause(random() * 12);
        for (const task of TASKS) sheet.set(task, { answer: 4 });
        // A sheet that was closed by the opening never hears that it was saved.
        const closed = new Promise<void>((resolve) =>
          sheet.provider.once('closed', () => resolve()),
        );
        await Promise.race([
          sheet.saved().then(() => {
            if (!opened) savedBefore.add(i);
          }),
          closed,
        ]);
      });
      const opening = (async () => {
        await pause(random() * 12);
        await p.moderator.onEvaluation({ type: 'open-round', withMissing: true });
        opened = true;
      })();
      const views = [p.moderator, ...reviewers].map((client) => openedWhole(client, all));
      await Promise.all([opening, ...views, ...edits]);
      const shown = [p.moderator, ...reviewers].map((c) => stepsOf(c.view));
      for (const view of shown) expect(view, where).toEqual(shown[0]);
      seats.forEach(({ seat }, i) => {
        const steps = TASKS.map((task) => shown[0]?.get(`${seat} ${task}`));
        // Both edits of a device left in one message: both are in, or neither is.
        expect(steps[0], where).toBe(steps[1]);
        if (savedBefore.has(i)) expect(steps[0], where).toBe(4);
        found[steps[0] === 4 ? 'in' : 'refused'] += 1;
      });
      for (const sheet of sheets) sheet.close();
    }
    expect(found.in + found.refused).toBe(RACES * reviewers.length);
    process.stdout.write(
      `openings against edits in flight: ${String(RACES)} races, ${JSON.stringify(found)}, 0 mixed\n`,
    );
  },
);
