import { WebSocket } from 'ws';
import * as Y from 'yjs';
import { expect, onTestFinished, test } from 'vitest';
import { BOARD_ENTRIES, boardKey, GENERAL_NOTE, noteRoot } from '../../shared-types/src/index.ts';
import type { OpenSheet, SeatClient } from '../../server/src/rehearse/seat-client.ts';
import { writeStep1, writeUpdate } from '../../server/src/wire/frames.ts';
import { askTicket } from '../support/document-probe.ts';
import { livePanel } from '../support/live-panel.ts';
import { liveServer } from '../support/live-server.ts';

/** A server with a sealed round: two reviewers who behave, and somebody who will not. */
const scene = async () => {
  const { url, signInLink } = await liveServer();
  const p = await livePanel(url, signInLink);
  const ada = (await p.join('reviewer', 'Ada')).client;
  const ben = (await p.join('reviewer', 'Ben')).client;
  const rude = await p.join('recorder', 'Rude');
  await p.moderator.onEvaluation({ type: 'start-round' });
  for (const c of [ada, ben]) await c.until('the round', (v) => v.me?.sheets.length === 1);
  return { url, p, ada, ben, rude };
};

/** Reviewers at work: every edit is acknowledged before the next. `stop` resolves with how many that were. */
const atWork = (clients: readonly SeatClient[]): { stop: () => Promise<number> } => {
  let working = true;
  const one = async (client: SeatClient): Promise<number> => {
    const sheet = await client.openSheet(1);
    onTestFinished(() => sheet.close());
    await sheet.saved();
    let kept = 0;
    for (; working || kept < 10; kept++) {
      sheet.set('aed-pads', { answer: kept % 6, note: `edit ${String(kept)}` });
      await sheet.saved();
      // A connection may write 30 times a second.
      await new Promise((resolve) => setTimeout(resolve, 40));
    }
    return kept;
  };
  const all = Promise.all(clients.map(one));
  return {
    stop: async () => {
      working = false;
      return (await all).reduce((sum, n) => sum + n, 0);
    },
  };
};

/** A document's socket in somebody's own hands. */
const rawSocket = async (client: SeatClient, evaluation: string, document: string) => {
  const ticket = (await askTicket(client, evaluation, document)) ?? '';
  const address = `${client.url.replace(/^http/u, 'ws')}/sync/${document}?ticket=${ticket}`;
  const ws = new WebSocket(address, { headers: { cookie: client.cookie } });
  onTestFinished(() => ws.terminate());
  const closed = new Promise<number>((resolve) => ws.once('close', resolve));
  await new Promise<void>((resolve) => ws.once('message', () => resolve()));
  return { ws, closed };
};

/** Replaces the general note with 60 kB, again and again: a burst, then as fast as is allowed. */
const writeLarge = async (board: OpenSheet, times: number): Promise<void> => {
  const note = board.doc.getText(noteRoot(GENERAL_NOTE));
  for (let n = 0; n < times; n++) {
    note.delete(0, note.length);
    note.insert(0, String.fromCodePoint(0x4e00 + n).repeat(20_000));
    if (n >= 25) await new Promise((resolve) => setTimeout(resolve, 80));
  }
  await board.saved();
};

const LONG = { timeout: 400_000 };

test(
  'SY-9: who does not read a document is let go, and everybody else’s edits are acknowledged',
  LONG,
  async () => {
    const { p, ada, ben, rude } = await scene();
    const observer = (await p.join('observer', 'Slow')).client;
    const board = p.moderator.view.me?.board ?? '';
    const slow = await rawSocket(observer, p.evaluation, board);
    slow.ws.pause();
    const work = atWork([ada, ben]);
    const writers = await Promise.all(
      [p.moderator, p.moderator, rude.client, rude.client].map((c) => c.openDocument(board)),
    );
    for (const writer of writers) {
      onTestFinished(() => writer.close());
      await writer.saved();
    }
    // They write in turn: four who rewrite one note at once would merge it past its limit.
    for (const writer of writers) await writeLarge(writer, 60);
    slow.ws.resume();
    // 4500 by the backlog; 1006 when the heartbeat, which it does not answer either, came first.
    expect([4500, 1006]).toContain(await slow.closed);
    expect(await work.stop()).toBeGreaterThanOrEqual(20);
  },
);

test(
  'RT-7: who does not read the panel’s socket is let go, and everybody else is told',
  LONG,
  async () => {
    const { url, p, ada, ben, rude } = await scene();
    const observer = (await p.join('observer', 'Slow')).client;
    const headers = { cookie: observer.cookie };
    const address = `${url.replace(/^http/u, 'ws')}/live/?EIO=4&transport=websocket`;
    const watching = async () => {
      const ws = new WebSocket(address, { headers });
      onTestFinished(() => ws.terminate());
      const said: string[] = [];
      const closed = new Promise<string>((resolve) => ws.once('close', () => resolve('closed')));
      const until = (start: string): Promise<void> =>
        new Promise((resolve) => {
          ws.on('message', (data: Buffer) => {
            const text = data.toString();
            if (text === '2') ws.send('3');
            said.push(text.slice(0, 20));
            if (text.startsWith(start)) resolve();
          });
        });
      const ready = until('0');
      await ready;
      const connected = until('40');
      ws.send('40');
      await connected;
      const answered = until('430');
      ws.send(`420["watch",${JSON.stringify({ on: 'evaluation', evaluation: p.evaluation })}]`);
      await answered;
      return { ws, closed, said };
    };
    const slow = await watching();
    const quick = await watching();
    slow.ws.pause();
    const work = atWork([ada, ben]);
    const board = await rude.client.openDocument(p.moderator.view.me?.board ?? '');
    onTestFinished(() => board.close());
    await board.saved();
    const text = '\u7dda'.repeat(2000);
    for (let n = 0; n < 85; n++) {
      const entry = {
        kind: 'remark',
        task: null,
        text,
        at: '2026-03-02T09:00:00.000Z',
        replaces: null,
      };
      const key = boardKey(rude.seat, String(n).padStart(22, '0'));
      board.doc.getMap(BOARD_ENTRIES).set(key, JSON.stringify(entry));
      await board.saved();
      await p.moderator.until('the remark', (v) => (v.remarks ?? []).length > n);
      if (n >= 50) await new Promise((resolve) => setTimeout(resolve, 40));
    }
    slow.ws.resume();
    expect(await slow.closed).toBe('closed');
    expect(quick.ws.readyState).toBe(WebSocket.OPEN);
    expect(quick.said.filter((s) => s.startsWith('42["slices"')).length).toBeGreaterThan(50);
    expect(await work.stop()).toBeGreaterThanOrEqual(20);
  },
);

test(
  'SY-9: a flood of edits, questions or presence is closed with 4529, and the panel goes on',
  LONG,
  async () => {
    const { p, ada, ben, rude } = await scene();
    const work = atWork([ada, ben]);
    const board = p.moderator.view.me?.board ?? '';
    const edit = Y.encodeStateAsUpdate(new Y.Doc());
    const floods: Record<string, Uint8Array> = {
      edits: writeUpdate(edit),
      questions: writeStep1(Y.encodeStateVector(new Y.Doc())),
      presence: new Uint8Array([1, 1, 0]),
    };
    for (const [what, frame] of Object.entries(floods)) {
      const { ws, closed } = await rawSocket(rude.client, p.evaluation, board);
      for (let i = 0; i < 2000; i++) ws.send(frame);
      expect(await closed, what).toBe(4529);
    }
    // The panel's socket answers a flood: wait. See RT-3.
    const command = { type: 'present-task', task: null } as const;
    const asked = Array.from({ length: 300 }, () =>
      rude.client.send({ on: 'evaluation', evaluation: p.evaluation, command }),
    );
    const answers = await Promise.all(asked);
    const waits = answers.filter((a) => !a.ok && a.rejection.code === 'too-many-tries').length;
    expect(waits).toBeGreaterThan(150);
    const kept = await work.stop();
    expect(kept).toBeGreaterThanOrEqual(20);
    process.stdout.write(
      `flood: 6,000 frames and 300 commands beside ${String(kept)} edits, all kept\n`,
    );
  },
);
