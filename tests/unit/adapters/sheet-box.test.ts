import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { sheetBox } from '../../../server/src/adapters/sheet-box.ts';
import { SqliteStore } from '../../../server/src/adapters/sqlite-store.ts';
import { temporaryDirectory } from '../../support/temporary-directory.ts';

const key = new Uint8Array(32).fill(9);
const bytes = new TextEncoder().encode('face-mask-removal/note: the third screw is stripped');

test('gives back what was put in, and never the same box twice', () => {
  const box = sheetBox(key);
  const sealed = box.seal('dc_1', bytes);
  expect(box.open('dc_1', sealed)).toEqual(bytes);
  expect(Buffer.from(sealed).includes(Buffer.from('third screw'))).toBe(false);
  expect(box.seal('dc_1', bytes)).not.toEqual(sealed);
});

test('opens nothing of another document, another key, or with a changed byte', () => {
  const box = sheetBox(key);
  const sealed = box.seal('dc_1', bytes);
  expect(() => box.open('dc_2', sealed)).toThrow();
  expect(() => sheetBox(new Uint8Array(32)).open('dc_1', sealed)).toThrow();
  for (let i = 0; i < sealed.length; i++) {
    const changed = Uint8Array.from(sealed);
    changed[i] = (changed[i] ?? 0) ^ 1;
    expect(() => box.open('dc_1', changed), `byte ${String(i)}`).toThrow();
  }
});

test('ST-4: the database file shows no word of a sealed sheet, and every word of a board', async () => {
  const directory = temporaryDirectory();
  const file = join(directory, 'store.sqlite');
  const store = new SqliteStore(file, 'ws_test', sheetBox(key));
  const write = { seat: 'st_1', device: 'dv_1', at: '2026-03-02T09:00:00.000Z', newClients: [] };
  await store.commit({
    documents: [
      { id: 'dc_1', log: 'ev_1', kind: 'sheet' },
      { id: 'dc_2', log: 'ev_1', kind: 'board' },
    ],
    writes: [
      { ...write, document: 'dc_1', bytes: new TextEncoder().encode('secret words') },
      { ...write, document: 'dc_2', bytes: new TextEncoder().encode('public words') },
    ],
  });
  const onDisk = (text: string): boolean =>
    [file, `${file}-wal`].some((f) => readFileSync(f).includes(text));
  expect(onDisk('secret words')).toBe(false);
  expect(onDisk('public words')).toBe(true);
  await store.close();
});
