import { beforeAll, describe, expect, test } from 'vitest';
import { keysOf, signSuccession } from '../../server/src/audit/key-chain.ts';
import { signNote, verifierKey } from '../../server/src/audit/signed-note.ts';
import { exportBundle } from '../../server/src/flows/export-bundle.ts';
import { goOnWith, takingOver } from '../support/rotated.ts';
import { accepted, seatedPanel } from '../support/seated-panel.ts';
import { testApp } from '../support/test-app.ts';
import { lockPlain } from '../support/two-records.ts';
import {
  closed,
  noPython,
  opened,
  sameVerdict,
  verdicts,
  type BundleJson,
  type Shown,
} from '../support/two-verifiers.ts';

/** A record that three keys signed, and its keys, oldest first. */
const overThreeKeys = async (): Promise<Shown & { keys: readonly string[] }> => {
  const { app } = testApp();
  const panel = await seatedPanel(app, 3);
  const first = app.signer;
  const second = takingOver(first, 44);
  goOnWith(app, second);
  accepted(await panel.act(panel.moderator, { type: 'present-task', task: 'airway-open' }));
  goOnWith(app, takingOver(second, 45));
  await lockPlain(panel);
  const bundle = await exportBundle(app, await panel.live());
  if (!bundle.ok) throw new Error(bundle.rejection.message);
  return {
    bytes: bundle.value,
    key: verifierKey(first),
    signer: app.signer,
    keys: keysOf(app.signer),
  };
};

describe.skipIf(noPython)('KR-1, AU-9: both verifiers, of a record over a change of keys', () => {
  let shown: Awaited<ReturnType<typeof overThreeKeys>>;
  beforeAll(async () => {
    shown = await overThreeKeys();
  });

  test('with only the first, the second or the last key known it holds; with a stranger’s it does not', () => {
    const stranger = verifierKey({ ...shown.signer, seed: new Uint8Array(32).fill(9) });
    for (const key of [...shown.keys, stranger]) {
      const pairs = verdicts({ ...shown, key }, [shown.bytes]);
      sameVerdict(pairs, [key]);
      expect(pairs[0]?.first.ok).toBe(key !== stranger);
    }
  });

  test('every broken chain is refused by both, for the same reason', () => {
    const { signer, keys } = shown;
    const stranger = { name: signer.name, seed: new Uint8Array(32).fill(9) };
    const elsewhere = { name: 'other.example', seed: stranger.seed };
    const first = { name: signer.name, seed: new Uint8Array(32).fill(3) };
    const chain = (b: BundleJson): string[] => b['successions'] as string[];
    const textOf = (note = ''): string => note.slice(0, note.indexOf('\n\n') + 1);
    const edits: [string, (b: BundleJson) => void][] = [
      ['no chain', (b) => delete b['successions']],
      ['an empty chain', (b) => void (b['successions'] = [])],
      ['the first link missing', (b) => void chain(b).shift()],
      ['the last link missing', (b) => void chain(b).pop()],
      ['links swapped', (b) => void chain(b).reverse()],
      ['a link twice', (b) => void chain(b).push(chain(b)[1] ?? '')],
      [
        'a link by a stranger',
        (b) => void chain(b).splice(0, 1, signNote(textOf(chain(b)[0]), stranger)),
      ],
      [
        'a link to a stranger',
        (b) => void chain(b).push(signSuccession(signer, verifierKey(stranger))),
      ],
      [
        'a key of another name',
        (b) => void chain(b).push(signSuccession(signer, verifierKey(elsewhere))),
      ],
      ['in a circle', (b) => void chain(b).push(signSuccession(signer, keys[0] ?? ''))],
      [
        'a key that names itself',
        (b) => void chain(b).unshift(signSuccession(first, keys[0] ?? '')),
      ],
      ['a key that is malformed', (b) => void chain(b).push(signSuccession(signer, 'lab+00+AA'))],
      ['a checkpoint for a link', (b) => void chain(b).splice(1, 1, b.checkpoints[0] ?? '')],
      [
        'a letter changed',
        (b) => void chain(b).splice(0, 1, (chain(b)[0] ?? '').replace('key', 'kex')),
      ],
      ['the bundle under the middle key', (b) => void (b['vkey'] = keys[1])],
      ['the bundle under the first key', (b) => void (b['vkey'] = keys[0])],
      ['without its last checkpoint', (b) => void b.checkpoints.pop()],
      ['text for a chain', (b) => void (b['successions'] = 'none')],
    ];
    const files = edits.map(([, edit]) => {
      const b = opened(shown);
      edit(b);
      return closed(b);
    });
    const pairs = verdicts(shown, files);
    const { held, sameStep } = sameVerdict(
      pairs,
      edits.map(([name]) => name),
    );
    expect({ held, sameStep }).toEqual({ held: 0, sameStep: edits.length });
  });
});
