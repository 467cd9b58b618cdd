import { expect, onTestFinished, test } from 'vitest';
import type { OpenSheet, SeatClient } from '../../server/src/rehearse/seat-client.ts';
import { livePanel } from '../support/live-panel.ts';
import { liveServer } from '../support/live-server.ts';
import { recordingProxy, type Recording } from '../support/recording-proxy.ts';
import { socketMessages } from '../support/socket-frames.ts';

const LONG = 'The strap hides the chest until it is cut. '.repeat(40).trim();

/** What Ben may do with one task: nobody else may be able to tell these apart. */
const RATINGS: Record<string, (sheet: OpenSheet) => void> = {
  'a 0': (sheet) => sheet.set('chest-access', { answer: 0 }),
  'a 5': (sheet) => sheet.set('chest-access', { answer: 5 }),
  'a 5, critical, with a note': (sheet) =>
    sheet.set('chest-access', { answer: 5, critical: LONG, note: LONG }),
  'not applicable, with a reason': (sheet) =>
    sheet.set('chest-access', { answer: 'not-applicable', reason: LONG }),
  'three changes of mind, and taken back': (sheet) => {
    for (const answer of [1, 4, 2, null]) sheet.set('chest-access', { answer });
  },
};

const OTHERS = ['moderator', 'ada', 'observer', 'wall'] as const;
/** Of each other person, the messages of each of their connections. */
type Shape = Record<(typeof OTHERS)[number], string[][]>;

/** Messages pushed by the clock or by a milestone, not by what somebody does. */
const byTheClock = (start: string): boolean => /^(2|3|42\["checkpoint")/u.test(start);

const messagesOf = (wire: Recording): string[][] =>
  wire.connections().map((bytes) =>
    socketMessages(bytes)
      .filter(({ kind, start }) => kind !== 'text' || !byTheClock(start))
      // The keep-alive of a document socket follows the clock too.
      .filter(({ kind, start }) => kind !== 'binary' || start.charCodeAt(0) !== 64)
      .map((m) => `${m.kind} ${String(m.length)}`),
  );

/** A fresh panel in its sealed round, every other person behind a line that is recorded. */
const watchedPanel = async () => {
  const server = await liveServer();
  const wire: Record<string, Recording> = {};
  for (const name of OTHERS) wire[name] = await recordingProxy(server.url);
  const at = (name: (typeof OTHERS)[number]): string => wire[name]?.url ?? '';
  const p = await livePanel(at('moderator'), server.signInLink);
  const ben = (await p.join('reviewer', 'Ben', server.url)).client;
  const others: Record<(typeof OTHERS)[number], SeatClient> = {
    moderator: p.moderator,
    ada: (await p.join('reviewer', 'Ada', at('ada'))).client,
    observer: (await p.join('observer', 'Olu', at('observer'))).client,
    wall: (await p.join('wall', '', at('wall'))).client,
  };
  await p.moderator.onEvaluation({ type: 'start-round' });
  for (const client of Object.values(others)) {
    const board = await client.openDocument(client.view.me?.board ?? '');
    onTestFinished(() => board.close());
    await board.saved();
    await client.until('the round', (v) => v.head?.stage === 'sealed');
    await client.until('everybody', (v) => v.seats?.filter((s) => s.online).length === 5);
  }
  await ben.until('the round', (v) => v.me?.sheets.length === 1);
  // An answer comes after everything that was pushed before it: what follows is new.
  const settle = async (): Promise<void> => {
    for (const client of Object.values(others)) {
      await client.send({
        on: 'evaluation',
        evaluation: p.evaluation,
        command: { type: 'start-round' },
      });
    }
  };
  const shape = (): Shape =>
    Object.fromEntries(
      OTHERS.map((name) => [name, wire[name] ? messagesOf(wire[name]) : []]),
    ) as Shape;
  return { p, ben, others, settle, shape };
};

/** What everybody else was sent from Ben's first edit on: messages and their lengths, in order. */
const shapeOf = async (rate: (sheet: OpenSheet) => void, finish: boolean): Promise<Shape> => {
  const { p, ben, settle, shape } = await watchedPanel();
  await settle();
  const before = shape();
  const sheet = await ben.openSheet(1);
  await sheet.saved();
  rate(sheet);
  await sheet.saved();
  sheet.close();
  if (finish) {
    await ben.onEvaluation({ type: 'finish-sheet' });
    await p.moderator.until('the word', (v) => v.seats?.some((s) => s.finished === true) ?? false);
  }
  await settle();
  const after = shape();
  return Object.fromEntries(
    OTHERS.map((name) => [
      name,
      after[name].map((messages, i) => messages.slice(before[name][i]?.length ?? 0)),
    ]),
  ) as Shape;
};

test.each([false, true])(
  'SE-1, SE-8: whatever Ben rates, everybody else is sent the same messages of the same lengths (finished: %s)',
  async (finish) => {
    const shapes = new Map<string, Shape>();
    for (const [what, rate] of Object.entries(RATINGS))
      shapes.set(what, await shapeOf(rate, finish));
    const expected = shapes.get('a 0');
    for (const [what, shape] of shapes) expect(shape, what).toEqual(expected);
    // The comparison sees something: the answers to what was asked, and who has finished.
    const heard = (name: (typeof OTHERS)[number]): number => expected?.[name].flat().length ?? 0;
    expect(heard('ada')).toBeGreaterThan(0);
    expect(heard('moderator') > heard('ada')).toBe(finish);
    const count = OTHERS.map((name) => `${name} ${String(heard(name))}`).join(', ');
    process.stdout.write(
      `traffic shape, finished ${String(finish)}: ${String(shapes.size)} ways to rate, 0 differ (${count})\n`,
    );
  },
);
