import { beforeAll, describe, expect, test } from 'vitest';
import type { PanelCommand } from '../../shared-types/src/index.ts';
import { lockedBundle } from '../support/locked-bundle.ts';
import { addPhoto, shade } from '../support/photo.ts';
import { accepted } from '../support/seated-panel.ts';
import {
  closed,
  indexOf,
  noPython,
  opened,
  resigned,
  verdicts,
  withEvent,
  type BundleJson,
  type Shown,
} from '../support/two-verifiers.ts';

let shown: Shown;

const of = (b: BundleJson, type: string, change: (data: Record<string, unknown>) => void): void =>
  withEvent(b, indexOf(b, type), (e) => {
    change(e.data);
  });
const ADDED = 'specimen-photo-added';
const CAPTIONED = 'specimen-photo-captioned';
const REMOVED = 'specimen-photo-removed';
const OTHER = 'x'.repeat(22);

const EDITS: [name: string, change: (b: BundleJson) => unknown, holds: boolean][] = [
  ['nothing', () => undefined, true],
  ['another size', (b) => of(b, ADDED, (d) => (d['size'] = 2)), true],
  ['a clip', (b) => of(b, ADDED, (d) => (d['type'] = 'video/mp4')), false],
  ['of another specimen', (b) => of(b, ADDED, (d) => (d['specimen'] = `sp_${OTHER}`)), false],
  ['a caption from nowhere', (b) => of(b, CAPTIONED, (d) => (d['old'] = 'Other')), false],
  ['a caption of no photo', (b) => of(b, CAPTIONED, (d) => (d['photo'] = `md_${OTHER}`)), false],
  ['a removal of no photo', (b) => of(b, REMOVED, (d) => (d['photo'] = `md_${OTHER}`)), false],
  ['a removal without a reason', (b) => of(b, REMOVED, (d) => (d['reason'] = '')), false],
  [
    'added twice',
    (b) =>
      withEvent(b, indexOf(b, CAPTIONED), (e) => {
        const first = JSON.parse(b.events[indexOf(b, ADDED)] ?? '') as typeof e;
        Object.assign(e, { type: ADDED, data: first.data });
      }),
    false,
  ],
  [
    'one file twice',
    (b) =>
      withEvent(b, indexOf(b, CAPTIONED), (e) => {
        const first = JSON.parse(b.events[indexOf(b, ADDED)] ?? '') as typeof e;
        Object.assign(e, { type: ADDED, data: { ...first.data, photo: `md_${OTHER}` } });
      }),
    false,
  ],
];

describe.skipIf(noPython)('AU-9, SP-9: both verifiers, of the photos of a specimen', () => {
  beforeAll(async () => {
    const locked = await lockedBundle(
      undefined,
      async ({ app }, panel) => {
        const specimen = (await panel.live()).state.created?.registered?.specimen ?? '';
        const { photo, answer } = await addPhoto(app, panel, specimen);
        accepted(answer);
        const on = async (command: PanelCommand): Promise<void> =>
          accepted(await panel.onPanel(panel.moderator, command));
        await on({ type: 'caption-specimen-photo', specimen, photo, caption: 'Left' });
        await on({ type: 'remove-specimen-photo', specimen, photo, reason: 'A face is in it.' });
        accepted((await addPhoto(app, panel, specimen, { file: shade(2) })).answer);
      },
      true,
    );
    shown = { bytes: locked.bytes, key: locked.key, signer: locked.app.signer };
  });

  test.each(EDITS)('say the same of this, signed again: %s', (name, change, holds) => {
    const bundle = opened(shown);
    change(bundle);
    const [pair] = verdicts(shown, [closed(resigned(shown, bundle))]);
    expect(pair?.second.ok, `${name}: ${JSON.stringify(pair?.first.findings[0])}`).toBe(
      pair?.first.ok,
    );
    expect(pair?.first.ok, name).toBe(holds);
  });
});
