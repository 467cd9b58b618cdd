import { beforeAll, describe, expect, test } from 'vitest';
import { canonicalText } from '../../server/src/audit/canonical-json.ts';
import { verifierKey } from '../../server/src/audit/signed-note.ts';
import { exportBundle } from '../../server/src/flows/export-bundle.ts';
import { seededRandom } from '../../server/src/rehearse/random.ts';
import { accepted, seatedPanel } from '../support/seated-panel.ts';
import { testApp } from '../support/test-app.ts';
import { lockPlain, REASON } from '../support/two-records.ts';
import {
  closed,
  indexOf,
  leafMutant,
  noPython,
  opened,
  resigned,
  sameVerdict,
  verdicts,
  withEvent,
  type BundleJson,
  type EventJson,
  type Shown,
} from '../support/two-verifiers.ts';

const SEED = Number(process.env['SEED'] ?? 20260302);
const CHANGES = Number(process.env['CHANGES'] ?? 30);

let locked: Shown;

/** A record that lived on: endorsed, an opinion changed, a name erased, superseded by a later one, withdrawn. */
const livedOn = async (): Promise<Shown> => {
  const { app, clock } = testApp();
  const panel = await seatedPanel(app, 3);
  const [a, b] = panel.reviewers;
  if (!a || !b) throw new Error('nobody is seated');
  const { moderator, reviewers, act } = panel;
  accepted(await act(moderator, { type: 'start-round' }));
  for (const who of reviewers) await panel.rate(who, { 'pulse-check': 1 });
  accepted(await act(moderator, { type: 'open-round', withMissing: true }));
  accepted(await act(a, { type: 'endorse', content: true, reason: 'Sits well.' }));
  accepted(await act(b, { type: 'endorse', content: false, reason: 'Presses at the jaw.' }));
  accepted(await act(a, { type: 'endorse', content: false, reason: 'It slips when wet.' }));
  accepted(await act(moderator, { type: 'adopt-undisputed' }));
  accepted(await act(moderator, { type: 'lock', meaning: 'I stand by this record.' }));
  clock.advance(24 * 3600_000);
  const later = await seatedPanel(app, 3);
  await lockPlain(later);
  accepted(await panel.onPanel(moderator, { type: 'erase-name', seat: b.seat }));
  const successor = { type: 'supersede', by: later.evaluation, reason: REASON } as const;
  accepted(await act(moderator, successor));
  accepted(await act(moderator, { type: 'withdraw', reason: REASON }));
  const bundle = await exportBundle(app, await panel.live());
  if (!bundle.ok) throw new Error(bundle.rejection.message);
  return { bytes: bundle.value, key: verifierKey(app.signer), signer: app.signer };
};

describe.skipIf(noPython)(
  'AU-9: both verifiers, of what came after the lock',
  { timeout: 300_000 },
  () => {
    beforeAll(async () => {
      locked = await livedOn();
    });
    const firstOpinion = (b: BundleJson): number => indexOf(b, 'endorsement-stated');

    test('hold it, with the figures of the lock alike to the last digit', () => {
      const types = opened(locked).events.map((e) => (JSON.parse(e) as EventJson).type);
      expect(types.filter((t) => t === 'endorsement-stated')).toHaveLength(3);
      expect(types.slice(-3)).toEqual([
        'evaluation-locked',
        'evaluation-superseded',
        'evaluation-withdrawn',
      ]);
      const [pair] = verdicts(locked, [locked.bytes]);
      expect(pair?.first.findings).toEqual([]);
      expect(pair?.second.ok).toBe(true);
      expect(pair?.second.result).toEqual(pair?.first.facts?.result);
    });

    test('say the same of a changed byte, and of a tail that was cut', () => {
      const files: Uint8Array[] = [];
      const names: string[] = [];
      for (let at = 0; at < locked.bytes.length; at += 1499) {
        const bytes = locked.bytes.slice();
        bytes[at] = (bytes[at] ?? 0) ^ 1;
        files.push(bytes);
        names.push(`byte ${String(at)}`);
      }
      for (let cut = 1; cut <= 5; cut++) {
        const bundle = opened(locked);
        bundle.events.splice(-cut, cut);
        files.push(closed(bundle));
        names.push(`${String(cut)} events cut off`);
      }
      expect(sameVerdict(verdicts(locked, files), names).held).toBe(0);
      expect(files.length).toBeGreaterThan(50);
    });

    const edits: [name: string, change: (b: BundleJson) => unknown, holds: boolean][] = [
      ['the withdrawal left out', (b) => b.events.pop(), true],
      ['both left out', (b) => b.events.splice(-2, 2), true],
      [
        'an endorsement by the moderator',
        (b) => withEvent(b, firstOpinion(b), (e) => (e.role = 'moderator')),
        false,
      ],
      [
        'an endorsement by nobody',
        (b) => withEvent(b, firstOpinion(b), (e) => (e.actor = 'st_x')),
        false,
      ],
      [
        'an endorsement for another seat',
        (b) =>
          withEvent(
            b,
            firstOpinion(b),
            (e) =>
              (e.data['seat'] = (
                JSON.parse(b.events[firstOpinion(b) + 1] ?? '') as EventJson
              ).actor),
          ),
        false,
      ],
      [
        'an endorsement without a reason',
        (b) => withEvent(b, firstOpinion(b), (e) => (e.data['reason'] = '')),
        false,
      ],
      [
        'content in words',
        (b) => withEvent(b, firstOpinion(b), (e) => (e.data['content'] = 'yes')),
        false,
      ],
      [
        'superseded by itself',
        (b) => withEvent(b, indexOf(b, 'evaluation-superseded'), (e) => (e.data['by'] = b['log'])),
        false,
      ],
      [
        'superseded by a reviewer',
        (b) => withEvent(b, indexOf(b, 'evaluation-superseded'), (e) => (e.role = 'reviewer')),
        false,
      ],
      [
        'withdrawn without a reason',
        (b) => withEvent(b, b.events.length - 1, (e) => (e.data['reason'] = '')),
        false,
      ],
      [
        'withdrawn by an observer',
        (b) => withEvent(b, b.events.length - 1, (e) => (e.role = 'observer')),
        false,
      ],
      [
        'a task settled after the lock',
        (b) => b.events.push(numbered(b.events[indexOf(b, 'task-settled')] ?? '', b.events)),
        false,
      ],
      [
        'locked twice',
        (b) => b.events.push(numbered(b.events[indexOf(b, 'evaluation-locked')] ?? '', b.events)),
        false,
      ],
      ['withdrawn twice', (b) => b.events.push(numbered(b.events.at(-1) ?? '', b.events)), false],
    ];
    /** The same event once more, at the end and at the time of the last one. */
    const numbered = (text: string, events: readonly string[]): string => {
      const event = JSON.parse(text) as Record<string, unknown>;
      const last = JSON.parse(events.at(-1) ?? '') as { at: string };
      return canonicalText({ ...event, seq: events.length, at: last.at });
    };

    test.each(edits)('say the same of this, signed again: %s', (name, change, holds) => {
      const bundle = opened(locked);
      change(bundle);
      const [pair] = verdicts(locked, [closed(resigned(locked, bundle))]);
      expect(pair?.second.ok, `${name}: ${JSON.stringify(pair?.first.findings[0])}`).toBe(
        pair?.first.ok,
      );
      expect(pair?.first.ok).toBe(holds);
    });

    test('say the same of random changes of single values, signed again', () => {
      const random = seededRandom(SEED + 1);
      const files = Array.from({ length: CHANGES }, () =>
        leafMutant(locked, random, firstOpinion(opened(locked))),
      );
      const names = files.map((_, i) => `seed ${String(SEED + 1)}, file ${String(i)}`);
      const { held } = sameVerdict(verdicts(locked, files), names);
      process.stderr.write(
        `second verifier: ${String(files.length)} random changes after the lock, ${String(held)} held by both\n`,
      );
      expect(held).toBeLessThan(files.length);
    });
  },
);
