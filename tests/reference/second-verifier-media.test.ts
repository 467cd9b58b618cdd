import { beforeAll, describe, expect, test } from 'vitest';
import { watchedRecord } from '../support/watched-record.ts';
import {
  closed,
  indexOf,
  noPython,
  opened,
  resigned,
  verdicts,
  withEvent,
  type BundleJson,
  type EventJson,
  type Shown,
} from '../support/two-verifiers.ts';

let shown: Shown;

/** Another seat than the one that this event is of. */
const another = (b: BundleJson, e: EventJson): string =>
  b.events
    .map((text) => JSON.parse(text) as EventJson)
    .filter((x) => x.type === 'observation-stated')
    .map((x) => x.actor)
    .find((seat) => seat !== e.actor) ?? '';

const stated = (b: BundleJson): number => indexOf(b, 'observation-stated');
const watched = (b: BundleJson): number => indexOf(b, 'clip-watched');

const EDITS: [name: string, change: (b: BundleJson) => unknown, holds: boolean][] = [
  ['nothing', () => undefined, true],
  [
    'seen in the room instead',
    (b) => withEvent(b, stated(b), (e) => (e.data['how'] = 'recorded')),
    true,
  ],
  ['seen in a dream', (b) => withEvent(b, stated(b), (e) => (e.data['how'] = 'dream')), false],
  [
    'said for another seat',
    (b) => withEvent(b, stated(b), (e) => (e.data['seat'] = another(b, e))),
    false,
  ],
  ['said of a round to come', (b) => withEvent(b, stated(b), (e) => (e.data['round'] = 2)), false],
  ['said by a moderator', (b) => withEvent(b, stated(b), (e) => (e.role = 'moderator')), false],
  [
    'played for another seat',
    (b) => withEvent(b, watched(b), (e) => (e.data['seat'] = another(b, e))),
    false,
  ],
  [
    'another clip played',
    (b) => withEvent(b, watched(b), (e) => (e.data['media'] = `md_${'x'.repeat(22)}`)),
    false,
  ],
  [
    'a photo played',
    (b) => withEvent(b, indexOf(b, 'media-attached'), (e) => (e.data['type'] = 'image/png')),
    false,
  ],
];

describe.skipIf(noPython)('AU-9, ME-20: both verifiers, of what was watched', () => {
  beforeAll(async () => {
    shown = await watchedRecord();
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
