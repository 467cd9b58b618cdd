import { describe, expect, test } from 'vitest';
import type {
  CommandMessage,
  DraftAnswer,
  Outcome,
  WorkshopCommand,
} from '../../shared-types/src/index.ts';
import { DraftEditor, type Unsent } from '../../web/src/state/draft-editor.svelte.ts';

type Sent = Outcome<{
  ok: true;
  seq: number;
  result: { kind: 'draft'; draft: string; revision: number };
}>;

const AT = '2026-03-02T09:00:00.000Z';
const offline: Sent = { ok: false, rejection: { code: 'try-again', message: 'No link.' } };

/** A server of one draft, a device, and a clock that is moved by hand. */
const world = (text: string, kept?: Unsent) => {
  const server: DraftAnswer = {
    ...{ draft: 'pd_1', id: null, version: null, title: null, savedAt: AT, savedBy: 'Ruth' },
    ...{ from: { of: 'file', name: 'x' }, faults: [], more: 0, revision: 1, text },
  };
  const device = { kept };
  const messages: CommandMessage[] = [];
  const answers: ('lost' | 'offline')[] = [];
  const effects = new Map<string, Sent>();
  let ids = 0;
  let later: (() => void) | null = null;
  const take = (message: CommandMessage): Sent => {
    const earlier = effects.get(message.id);
    if (earlier) return earlier;
    const command = message.command as Extract<WorkshopCommand, { type: 'save-draft' }>;
    if (command.revision !== server.revision) {
      const rejection = { code: 'draft-changed' as const, message: 'Ruth saved this draft.' };
      return { ok: false, rejection };
    }
    Object.assign(server, { text: command.text, revision: server.revision + 1 });
    const result = { kind: 'draft' as const, draft: 'pd_1', revision: server.revision };
    const done: Sent = { ok: true, value: { ok: true, seq: 1, result } };
    effects.set(message.id, done);
    return done;
  };
  const editor = new DraftEditor('pd_1', {
    load: () => Promise.resolve({ ok: true, value: { ...server } }),
    check: () => Promise.resolve({ ok: true, value: { ...server } }),
    message: (command) => ({ id: `cm_${String(++ids)}`, clientAt: AT, on: 'workspace', command }),
    send: (message) => {
      messages.push(message);
      const how = answers.shift();
      if (how === 'offline') return Promise.resolve(offline);
      const answer = take(message);
      return Promise.resolve(how === 'lost' ? offline : answer);
    },
    kept: () => Promise.resolve(device.kept),
    keep: (_draft, unsent) => {
      device.kept = unsent ?? undefined;
      return Promise.resolve();
    },
    later: (_ms, work) => {
      later = work;
      return () => (later = null);
    },
  });
  const pass = async (): Promise<void> => {
    const work = later;
    later = null;
    work?.();
    await new Promise((resolve) => setTimeout(resolve));
  };
  return { editor, server, device, messages, answers, pass };
};

const GOOD = '{"title":"A","tools":[{"id":"a","title":"A"},{"id":"b","title":"B"}]}';

describe('a draft in one browser', () => {
  test('PR-8: an answer that was lost is asked for again, and is no conflict with oneself', async () => {
    const { editor, server, messages, answers, device, pass } = world(GOOD);
    await editor.open('restored');
    answers.push('lost');
    editor.put('/title', 'B');
    await pass();
    expect(editor.state).toBe('offline');
    editor.put('/title', 'C');
    expect(device.kept?.text).toContain('"C"');
    await pass();
    await pass();
    expect(messages.map((m) => m.id)).toEqual(['cm_1', 'cm_1', 'cm_2']);
    expect(editor).toMatchObject({ state: 'clean', revision: 3 });
    expect(server.text).toContain('"C"');
    expect(device.kept).toBeUndefined();
  });

  test('PR-8: a change of somebody else stops the saving, and is only written over on purpose', async () => {
    const { editor, server, device, pass } = world(GOOD);
    await editor.open('restored');
    Object.assign(server, { text: '{"title":"theirs"}', revision: 2 });
    editor.put('/title', 'mine');
    await pass();
    expect(editor.state).toBe('conflict');
    editor.put('/title', 'mine still');
    await pass();
    expect(server.text).toBe('{"title":"theirs"}');
    expect(device.kept?.text).toContain('mine still');
    await editor.putOver();
    expect(editor).toMatchObject({ state: 'clean', revision: 3 });
    expect(server.text).toContain('mine still');
  });

  test('what a device had not sent is there again; over a later change it is a conflict', async () => {
    const same = world(GOOD, { revision: 1, text: '{"title":"kept"}' });
    await same.editor.open('restored');
    expect(same.editor).toMatchObject({ state: 'waiting', notice: 'restored' });
    await same.pass();
    expect(same.server.text).toBe('{"title":"kept"}');
    const later = world(GOOD, { revision: 0, text: '{"title":"kept"}' });
    await later.editor.open('restored');
    expect(later.editor.state).toBe('conflict');
    await later.editor.takeTheirs();
    expect(later.editor).toMatchObject({ state: 'clean', text: GOOD });
    expect(later.device.kept).toBeUndefined();
  });

  test('PR-12: a renamed id takes its references along in one step; a refused one changes nothing', async () => {
    const text = JSON.stringify({
      tools: [
        { id: 'a', title: 'A' },
        { id: 'b', title: 'B' },
      ],
      sections: [{ tasks: [{ id: 't', title: 'T', tools: ['b', 'a'] }] }],
    });
    const { editor, server, pass } = world(text);
    await editor.open('restored');
    const say = ({ from, places }: { from: string; places: string[] }): string =>
      `${from}: ${places.join(' ')}`;
    expect(editor.rename('/tools/0/id', 'b', say)).toMatchObject({ ok: false, by: '/tools/1/id' });
    expect(editor).toMatchObject({ text, notice: '', state: 'clean' });
    editor.rename('/tools/0/id', 'new', say);
    expect(editor.notice).toBe('a: /tools/0/id /sections/0/tasks/0/tools/1');
    expect(editor.list('/sections/0/tasks/0/tools')).toEqual(['b', 'new']);
    await pass();
    expect(JSON.parse(server.text)).toEqual(JSON.parse(text.replaceAll('"a"', '"new"')));
    editor.undo((what) => what);
    expect(editor).toMatchObject({ text, notice: 'tool “A”, Id' });
  });

  test('a new entry begins with an id that nothing bears', async () => {
    const { editor } = world('{"tools":[{"id":"new-tool-2"}],"scale":{"points":[]}}');
    await editor.open('restored');
    editor.add('/tools');
    expect(editor.textAt('/tools/1/id')).toBe('new-tool-3');
  });

  test('entries are moved, removed and brought back, step by step', async () => {
    const { editor } = world(GOOD);
    await editor.open('restored');
    const ids = (): unknown[] => editor.list('/tools').map((t) => (t as { id: string }).id);
    editor.move('/tools', 0, 1);
    expect(ids()).toEqual(['b', 'a']);
    editor.remove('/tools', 0, (what) => `${what} gone`);
    expect(ids()).toEqual(['a']);
    expect(editor.notice).toBe('tool “B” gone');
    editor.add('/tools');
    expect(ids()).toEqual(['a', 'new-tool-2']);
    for (const expected of [['a'], ['b', 'a'], ['a', 'b']]) {
      editor.undo(() => '');
      expect(ids()).toEqual(expected);
    }
    expect(editor.text).toBe(GOOD);
    editor.type('{ half');
    expect(editor.value).toBeNull();
    editor.undo(() => '');
    expect(editor.text).toBe(GOOD);
  });
});
