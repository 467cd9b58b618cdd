import { expect, test } from 'vitest';
import type { OpenSheet, SeatClient } from '../../server/src/rehearse/seat-client.ts';
import { livePanel } from '../support/live-panel.ts';
import { SPECIMEN } from '../support/specimen.ts';
import { liveServer } from '../support/live-server.ts';
import { recordingProxy, type Recording } from '../support/recording-proxy.ts';
import { socketMessages } from '../support/socket-frames.ts';

const LONG = 'The strap hides the chest until it is cut. '.repeat(10).trim();

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

const LONG_TEST = { timeout: 400_000 };
/** Machines can be slow; nothing here depends on how slow. */
const WAIT = 60_000;

const OTHERS = ['moderator', 'ada', 'observer', 'wall'] as const;
/** Of each other person, the messages of each of their connections. */
type Shape = Record<(typeof OTHERS)[number], string[][]>;

/** Messages pushed by the clock or by a milestone, not by what somebody does. */
const byTheClock = (start: string): boolean => /^(2|3|42\["checkpoint")/u.test(start);

/** Signs of the number under which the asker's own device asked: it counts up. */
const askedId = (start: string): number => /^43(\d+)\[/u.exec(start)?.[1]?.length ?? 0;

const messagesOf = (wire: Recording): string[][] =>
  wire.connections().map((bytes) =>
    socketMessages(bytes)
      .filter(({ kind, start }) => kind !== 'text' || !byTheClock(start))
      // The keep-alive of a document socket follows the clock too.
      .filter(({ kind, start }) => kind !== 'binary' || start.charCodeAt(0) !== 64)
      .map((m) => `${m.kind} ${String(m.length - askedId(m.start))}`),
  );

/** Resolves when this device was told that all five are there. */
const everybodyOnline = (client: SeatClient): Promise<void> => {
  const all = OTHERS.length + 1;
  return client.until('all', (v) => v.seats?.filter((s) => s.online).length === all, WAIT);
};

/** A panel, every person but Ben behind a line that is recorded. */
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
  // Everybody still looks at the panel's first evaluation too: who is there must be told of it before anything is compared.
  for (const client of [ben, ...Object.values(others)]) await everybodyOnline(client);
  const shape = (): Shape =>
    Object.fromEntries(
      OTHERS.map((name) => [name, wire[name] ? messagesOf(wire[name]) : []]),
    ) as Shape;
  return { p, ben, others, shape };
};

type WatchedPanel = Awaited<ReturnType<typeof watchedPanel>>;

/** A new evaluation in its sealed round, which everybody looks at, with everybody's board open. */
const sealedEvaluation = async ({ p, ben, others }: WatchedPanel) => {
  const made = await p.moderator.onPanel(p.panel, {
    type: 'create-evaluation',
    title: 'Heron 5 (invented)',
    specimen: SPECIMEN,
    protocol: { id: 'emergency-access', version: '1.0.0' },
  });
  const evaluation = made?.kind === 'evaluation' ? made.evaluation : '';
  for (const client of [ben, ...Object.values(others)]) await client.watch(evaluation);
  await p.moderator.onEvaluation({ type: 'start-round' });
  const boards: OpenSheet[] = [];
  for (const client of Object.values(others)) {
    const board = await client.openDocument(client.view.me?.board ?? '');
    await board.saved();
    boards.push(board);
    await client.until('the round', (v) => v.head?.stage === 'sealed', WAIT);
    await everybodyOnline(client);
  }
  await ben.until('the round', (v) => v.me?.sheets.length === 1, WAIT);
  // An answer comes after everything that was pushed before it.
  const settle = async (): Promise<void> => {
    const command = { type: 'start-round' } as const;
    for (const c of Object.values(others)) await c.send({ on: 'evaluation', evaluation, command });
  };
  return { settle, close: () => boards.forEach((board) => board.close()) };
};

/** Messages that `after` has beyond `before`, person by person, connection by connection. */
const beyond = (before: Shape, after: Shape): Shape =>
  Object.fromEntries(
    OTHERS.map((name) => [
      name,
      after[name]
        .map((messages, i) => messages.slice(before[name][i]?.length ?? 0))
        .filter((messages) => messages.length > 0),
    ]),
  ) as Shape;

/** What everybody else was sent while Ben rated, and when he said that he had finished. */
const shapesOf = async (panel: WatchedPanel, rate: (sheet: OpenSheet) => void) => {
  const { p, ben, shape } = panel;
  const { settle, close } = await sealedEvaluation(panel);
  await settle();
  const before = shape();
  const sheet = await ben.openSheet(1);
  await sheet.saved();
  rate(sheet);
  await sheet.saved();
  sheet.close();
  await settle();
  const rated = shape();
  await ben.onEvaluation({ type: 'finish-sheet' });
  const isFinished = (v: typeof p.moderator.view): boolean =>
    v.seats?.some((s) => s.finished === true) ?? false;
  await p.moderator.until('the word', isFinished, WAIT);
  await settle();
  const finished = shape();
  close();
  return { rating: beyond(before, rated), finishing: beyond(rated, finished) };
};

test(
  'SE-1, SE-8: whatever Ben rates, everybody else is sent the same messages of the same lengths',
  LONG_TEST,
  async () => {
    const panel = await watchedPanel();
    const shapes = new Map<string, Awaited<ReturnType<typeof shapesOf>>>();
    for (const [what, rate] of Object.entries(RATINGS))
      shapes.set(what, await shapesOf(panel, rate));
    const expected = shapes.get('a 0');
    for (const [what, shape] of shapes) expect(shape, what).toEqual(expected);
    // The comparison sees something: the answers to what was asked, and to the moderator who has finished.
    const count = (shape: Shape | undefined, name: (typeof OTHERS)[number]): number =>
      shape?.[name].flat().length ?? 0;
    for (const name of OTHERS) expect(count(expected?.rating, name), name).toBe(1);
    expect(count(expected?.finishing, 'moderator')).toBeGreaterThan(1);
    expect(count(expected?.finishing, 'ada')).toBe(1);
    const said = OTHERS.map((n) => `${n} ${String(count(expected?.finishing, n))}`).join(', ');
    process.stdout.write(
      `traffic shape: ${String(shapes.size)} ways to rate, 0 differ; messages at the word "finished": ${said}\n`,
    );
  },
);
