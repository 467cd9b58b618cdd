import { expect, test } from 'vitest';
import { recordOf } from '../../../server/src/report/build-record.ts';
import { readSource } from '../../../server/src/report/record-source.ts';
import { watchedRecord } from '../../support/watched-record.ts';

test('ME-20: the record says who was in the room, who played which clip, and what video cannot show', async () => {
  const { bytes } = await watchedRecord();
  const record = recordOf(readSource(bytes));
  const panel = record.sections.find((s) => s.id === 'panel')?.blocks ?? [];
  const table = panel.find((b) => b.kind === 'table' && b.caption === 'The panel');
  const saw = table?.kind === 'table' ? table.rows.map((r) => r[2]?.[0]) : [];
  expect(saw.filter((s) => s !== '')).toEqual(['In the room', 'In the room', 'On recordings']);
  const text = JSON.stringify(panel);
  expect(text).toContain('1 clip, and which reviewers played it here');
  expect(text).toContain('[["The jaw from the left"],["reviewer C"]]');
  // Looked at on video although it is a matter of feel; the pulse check can be partly seen.
  const against = panel.find((b) => b.kind === 'list');
  expect(against?.kind === 'list' ? against.items : []).toEqual([
    expect.stringMatching(/: reviewer C$/u),
  ]);
  const rule = record.checklist.find((i) => i.id === 'R08');
  expect(rule).toMatchObject({ status: 'present', place: 'panel' });
});
