import { describe, expect, test } from 'vitest';
import * as v from 'valibot';
import { rating, SHEET_FIELDS } from '../../../shared-types/src/index.ts';
import { sheetRule } from '../../../server/src/documents/rules.ts';
import { checkProtocol } from '../../../server/src/protocol/check-protocol.ts';
import defaultProtocol from '../../../server/src/protocol/default-protocol.json' with { type: 'json' };

describe('TX-2: there is no minus zero', () => {
  const MINUS_ZERO = JSON.parse('-0') as number;
  const given = {
    answer: 'step',
    easier: false,
    reason: null,
    critical: null,
    note: null,
    at: null,
  };

  test('a rating of a command', () => {
    expect(v.is(rating, { ...given, step: 0 })).toBe(true);
    expect(v.is(rating, { ...given, step: MINUS_ZERO })).toBe(false);
  });

  test('an answer on a sheet', () => {
    expect(v.is(SHEET_FIELDS.answer, 0)).toBe(true);
    expect(v.is(SHEET_FIELDS.answer, MINUS_ZERO)).toBe(false);
    const read = checkProtocol(JSON.stringify(defaultProtocol));
    if (!read.ok) throw new Error('the shipped protocol is faulty');
    const root = sheetRule(read.protocol).roots.get('r');
    if (root?.kind !== 'map') throw new Error('a sheet has a map');
    expect(root.fault('aed-pads/answer', 0, 'st')).toBeUndefined();
    expect(root.fault('aed-pads/answer', MINUS_ZERO, 'st')).toBe('not a value of answer');
  });

  test('a weight of a protocol, with its place', () => {
    const [first] = defaultProtocol.sections;
    const text = JSON.stringify(defaultProtocol).replace(
      `"weight":${String(first?.weight)}`,
      '"weight":-0',
    );
    const read = checkProtocol(text);
    expect(read.ok ? [] : read.faults.map((f) => f.remedy)).toContain(
      'Write zero as 0, without a minus sign.',
    );
  });
});
