import { beforeAll, describe, expect, test } from 'vitest';
import { canonicalText } from '../../../server/src/audit/canonical-json.ts';
import { signCheckpoint } from '../../../server/src/audit/checkpoint.ts';
import { Frontier, leafHash } from '../../../server/src/audit/merkle.ts';
import { heldRemarks } from '../../../server/src/evaluation/sheet-ratings.ts';
import { isComposed } from '../../../server/src/verify/composed.ts';
import { verifyBundle } from '../../../server/src/verify/verify-bundle.ts';
import type { Bundle } from '../../../shared-types/src/index.ts';
import { lockedBundle, type Locked } from '../../support/locked-bundle.ts';

describe('texts of events are Unicode NFC', () => {
  let locked: Locked;
  beforeAll(async () => {
    locked = await lockedBundle();
  });

  /** The bundle with another reason of its first written decision, signed by the server's own key. */
  const withReason = (reason: string) => {
    const b = JSON.parse(new TextDecoder().decode(locked.bytes)) as Bundle;
    const at = b.events.findIndex(
      (e) => e.includes('"type":"task-settled"') && !e.includes('"reason":null'),
    );
    const event = JSON.parse(b.events[at] ?? '') as { data: { reason: string } };
    event.data.reason = reason;
    const events = b.events.with(at, canonicalText(event));
    const edge = new Frontier();
    for (const text of events) edge.append(leafHash(text));
    const whole = { origin: b.origin, size: events.length, root: edge.root() };
    const changed = { ...b, events, checkpoints: [signCheckpoint(whole, locked.app.signer)] };
    const bytes = new TextEncoder().encode(canonicalText(changed));
    return { at, verified: verifyBundle(bytes, { key: locked.key }) };
  };

  test('the same words in other bytes are refused by their place, whoever signed them', () => {
    expect(withReason('Talked through at the \u00e9cole.').verified.ok).toBe(true);
    const { at, verified } = withReason('Talked through at the e\u0301cole.');
    expect(verified.findings).toEqual([
      { step: 'events', where: `event ${String(at)}`, what: 'holds text that is not Unicode NFC' },
    ]);
  });

  test('a text that begins with a sign that combines is composed by itself', () => {
    // Beside the n of its escaped line feed the tilde would combine, were the JSON looked at as a whole.
    expect(isComposed({ note: ['\n\u0303', null, 3] })).toBe(true);
    expect(isComposed({ note: ['n\u0303'] })).toBe(false);
  });

  test('a remark that waited in a sheet goes into the log composed', () => {
    const remark = { task: 'chest-access', text: 'e\u0301cole', at: '2026-03-02T09:00:00.000Z' };
    const sheet = new Map([[`remark/${'a'.repeat(22)}`, JSON.stringify(remark)]]);
    expect(heldRemarks(sheet)).toEqual([{ ...remark, text: '\u00e9cole' }]);
  });
});
