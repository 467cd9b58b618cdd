import type { Socket } from 'socket.io';
import { expect, test } from 'vitest';
import { protocolOf, type Identity } from '../../../server/src/flows/app.ts';
import type { Witness } from '../../../shared-types/src/index.ts';
import { judge, type Kept } from '../../../web/src/sync/witness/judge.ts';
import { coverLogs } from '../../../server/src/flows/change.ts';
import { documentMode } from '../../../server/src/evaluation/visibility.ts';
import { Publisher } from '../../../server/src/realtime/publisher.ts';
import { letGoWhenSlow } from '../../../server/src/realtime/slow-reader.ts';
import { inParts, type Watch } from '../../../server/src/realtime/watches.ts';
import { RATINGS_A_TURN } from '../../../server/src/flows/in-turns.ts';
import { accepted, seatedPanel } from '../../support/seated-panel.ts';
import { testApp } from '../../support/test-app.ts';

interface Told {
  name: string;
  message: { of: string; slices: Record<string, unknown>; note: string };
}

const TASK = 'chest-access';

const setUp = async (reviewers = 2) => {
  const { app, clock } = testApp();
  const errors: unknown[] = [];
  const log = { info: () => undefined, error: (_: string, e: unknown) => errors.push(e) };
  const publisher = new Publisher(app, clock, log);
  app.changed = (id) => publisher.publish(id);
  const p = await seatedPanel(app, reviewers);
  const watch = (identity: Identity | null, of = p.evaluation): Watch & { heard: Told[] } => {
    const heard: Told[] = [];
    const emit = (name: string, message: Told['message']): boolean => {
      heard.push({ name, message });
      return true;
    };
    // Slices leave as the text of a socket.io event.
    const write = (text: string): void => {
      const [name, message] = JSON.parse(text.slice(1)) as [string, Told['message']];
      expect(text[0]).toBe('2');
      emit(name, message);
    };
    const socket = { emit, connected: true, conn: { write } } as unknown as Socket;
    return { socket, session: p.lead, of, identity, told: new Map(), note: null, seen: 0, heard };
  };
  /** Lets what was started run to its end; nothing here waits for time. */
  const settle = async (): Promise<void> => {
    for (let i = 0; i < 50; i++) await Promise.resolve();
    await new Promise((resolve) => setImmediate(resolve));
  };
  /** Everybody has heard who is there; from here on only what changes is noted. */
  const calm = async (...watches: { heard: Told[] }[]): Promise<void> => {
    clock.advance(200);
    await settle();
    for (const w of watches) w.heard.length = 0;
  };
  return { app, clock, publisher, p, watch, settle, calm, errors };
};

const keysOf = (heard: Told[]): string[] =>
  heard.filter((h) => h.name === 'slices').flatMap((h) => Object.keys(h.message.slices));

test('a watch first gets everything it may see, then only what changed', async () => {
  const { publisher, p, watch, settle, calm } = await setUp();
  const moderator = watch(p.moderator);
  const first = (await publisher.start(moderator))?.slices;
  expect(Object.keys(first ?? {}).toSorted()).toEqual(
    [
      'agreement',
      'allFinished',
      'arrivals',
      'doubts',
      'endorsements',
      'fit',
      'insight',
      'head',
      'late',
      'lock',
      'me',
      'media',
      'queue',
      'remarks',
      'safety',
      'seats',
    ].toSorted(),
  );
  await calm(moderator);
  accepted(await p.act(p.moderator, { type: 'present-task', task: TASK }));
  await settle();
  expect(keysOf(moderator.heard)).toEqual(['head']);
});

test('SE-5: "finished" reaches the moderator by seat and other reviewers only when all are in', async () => {
  const { publisher, p, watch, settle, calm } = await setUp();
  accepted(await p.act(p.moderator, { type: 'start-round' }));
  const moderator = watch(p.moderator);
  const ada = watch(p.reviewers[0] ?? null);
  for (const w of [moderator, ada]) await publisher.start(w);
  await calm(moderator, ada);
  accepted(await p.act(p.reviewers[1]!, { type: 'finish-sheet' }));
  await settle();
  expect(keysOf(moderator.heard)).toEqual(['seats']);
  expect(keysOf(ada.heard)).toEqual([]);
  accepted(await p.act(p.reviewers[0]!, { type: 'finish-sheet' }));
  await settle();
  expect(keysOf(ada.heard).toSorted()).toEqual(['allFinished', 'me']);
});

test('SE-8: at the opening each audience gets its own slices, and nobody the `me` of another', async () => {
  const { publisher, p, watch, settle } = await setUp();
  accepted(await p.act(p.moderator, { type: 'start-round' }));
  const watches = [p.moderator, ...p.reviewers].map((who) => watch(who));
  for (const w of watches) await publisher.start(w);
  await p.rate(p.reviewers[0]!, { [TASK]: 2 });
  accepted(await p.act(p.moderator, { type: 'open-round', withMissing: true }));
  await settle();
  for (const w of watches) {
    const slices = Object.assign({}, ...w.heard.map((h) => h.message.slices ?? {})) as {
      me?: { seat: string };
    };
    expect(Object.keys(slices)).toContain(`tasks/${TASK}`);
    if (slices.me) expect(slices.me.seat).toBe(w.identity?.seat);
  }
});

test('SE-6: who takes a seat after the opening is shown no rating before handing in', async () => {
  const { publisher, p, watch, settle } = await setUp();
  accepted(await p.act(p.moderator, { type: 'start-round' }));
  await p.rate(p.reviewers[0]!, { [TASK]: 2 });
  accepted(await p.act(p.moderator, { type: 'open-round', withMissing: true }));
  const late = await p.sit('reviewer', 'Late');
  await p.declare(late);
  const watcher = watch(late);
  const first = (await publisher.start(watcher))?.slices;
  expect(Object.keys(first ?? {}).filter((k) => k.startsWith('tasks/'))).toEqual([]);
  expect(first?.['head']).toMatchObject({ stage: 'sealed' });
  await p.rate(late, { [TASK]: 5 });
  accepted(await p.act(late, { type: 'finish-sheet' }));
  await settle();
  expect(keysOf(watcher.heard)).toContain(`tasks/${TASK}`);
});

test('SE-6: who joins during a second round, or calls nothing their own yet, sees nothing of the first', async () => {
  const { publisher, p, watch, app } = await setUp();
  accepted(await p.act(p.moderator, { type: 'start-round' }));
  await p.rate(p.reviewers[0]!, { [TASK]: 2 });
  accepted(await p.act(p.moderator, { type: 'open-round', withMissing: true }));
  const late = await p.sit('reviewer', 'Late');
  accepted(await p.act(p.moderator, { type: 'call-round', tasks: [TASK], reason: 'Again.' }));
  const later = await p.sit('reviewer', 'Later');
  for (const who of [late, later]) {
    await p.declare(who);
    const slices = (await publisher.start(watch(who)))?.slices ?? {};
    expect(Object.keys(slices).filter((k) => k.startsWith('tasks/'))).toEqual([]);
    const { state } = await p.live();
    const { protocol } = protocolOf(app, state);
    expect(documentMode(state, state.created?.board ?? '', who.seat, protocol)).toBe('none');
  }
  await p.rate(p.reviewers[0]!, { [TASK]: 3 }, 2);
  // Who rated in the first round goes on seeing it.
  const before = (await publisher.start(watch(p.reviewers[0]!)))?.slices ?? {};
  expect(Object.keys(before)).toContain(`tasks/${TASK}`);
  accepted(await p.act(p.moderator, { type: 'open-round', withMissing: true }));
  const after = (await publisher.start(watch(late)))?.slices ?? {};
  expect(Object.keys(after)).toContain(`tasks/${TASK}`);
  expect(app.readOnly).toBeNull();
});

test('RT-7: a socket with more than 4 MB unsent is closed without waiting for it; others are left alone', () => {
  const closed: boolean[] = [];
  const socket = (signs: number, bytes: number): Socket =>
    ({
      conn: {
        writeBuffer: [{ data: 'x'.repeat(signs) }, {}],
        transport: { socket: { bufferedAmount: bytes } },
        close: (discard: boolean) => closed.push(discard),
      },
    }) as unknown as Socket;
  expect(letGoWhenSlow(socket(1000, 4_000_000))).toBe(false);
  expect(closed).toEqual([]);
  expect(letGoWhenSlow(socket(200_000, 4_100_000))).toBe(true);
  expect(letGoWhenSlow(socket(4_200_000, 0))).toBe(true);
  expect(closed).toEqual([true, true]);
});

test('presence is told together after a moment, and only to who looks', async () => {
  const { publisher, p, watch, settle, clock, calm } = await setUp();
  const moderator = watch(p.moderator);
  await publisher.start(moderator);
  await calm(moderator);
  const others = p.reviewers.map((who) => watch(who));
  for (const w of others) await publisher.start(w);
  await settle();
  expect(moderator.heard).toEqual([]);
  clock.advance(200);
  await settle();
  expect(keysOf(moderator.heard)).toEqual(['seats']);
  expect(publisher.online(p.reviewers[0]?.seat ?? '')).toBe(true);
  for (const w of others) publisher.stop(w);
  expect(publisher.online(p.reviewers[0]?.seat ?? '')).toBe(false);
});

test('AC-9: a seat that was revoked is told nothing more', async () => {
  const { publisher, p, watch, settle } = await setUp();
  const [ada] = p.reviewers;
  const gone = watch(ada ?? null);
  await publisher.start(gone);
  const reason = 'Left the panel.';
  accepted(await p.onPanel(p.moderator, { type: 'revoke-seat', seat: ada!.seat, reason }));
  await settle();
  gone.heard.length = 0;
  accepted(await p.act(p.moderator, { type: 'present-task', task: TASK }));
  await settle();
  expect(gone.heard).toEqual([]);
  expect(await publisher.start(watch(ada ?? null))).toBeUndefined();
});

test('RT-2: each checkpoint is sent once to each watch of the evaluation, with the proof from the one before', async () => {
  const { app, publisher, p, watch, settle } = await setUp();
  const moderator = watch(p.moderator);
  const first = (await publisher.start(moderator))?.witness;
  accepted(await p.act(p.moderator, { type: 'start-round' }));
  await settle();
  await coverLogs(app);
  await settle();
  accepted(await p.act(p.moderator, { type: 'present-task', task: TASK }));
  await settle();
  const told = moderator.heard.filter((h) => h.name === 'checkpoint').map((h) => h.message);
  const witnesses = [first, ...told].filter((w) => w != null) as Witness[];
  expect(new Set(witnesses.map((w) => w.note)).size).toBe(2);
  let kept: Kept | undefined;
  for (const witness of witnesses) {
    const judged = judge(p.evaluation, kept, witness);
    if (!judged.ok) throw new Error(judged.fault);
    kept = judged.keep;
  }
  expect(kept?.size).toBeGreaterThan(1);
});

test('RT-1: a view that cannot be computed is logged, and the next change is told again', async () => {
  const { app, publisher, p, watch, settle, errors } = await setUp();
  const moderator = watch(p.moderator);
  await publisher.start(moderator);
  const protocols = app.protocols;
  app.protocols = new Map();
  publisher.publish(p.evaluation);
  await settle();
  expect(errors).toHaveLength(1);
  app.protocols = protocols;
  accepted(await p.act(p.moderator, { type: 'present-task', task: TASK }));
  await settle();
  expect(keysOf(moderator.heard)).toContain('head');
});

test('LG-2: what holds many ratings is told in parts, the stage with the last one, nothing twice', () => {
  const ratings = Array.from({ length: RATINGS_A_TURN / 2 }, () => ({}));
  const tasks = Object.fromEntries(['a', 'b', 'c'].map((t) => [`tasks/${t}`, { ratings }]));
  const slices = { head: { stage: 'opened' }, ...tasks, 'tasks/gone': null };
  const parts = inParts(slices);
  expect(parts.map((p) => Object.keys(p))).toEqual([
    ['tasks/a', 'tasks/b'],
    ['tasks/c', 'head', 'tasks/gone'],
  ]);
  expect(Object.assign({}, ...parts)).toEqual(slices);
  expect(inParts({ head: 1, me: 2 })).toEqual([{ head: 1, me: 2 }]);
});
