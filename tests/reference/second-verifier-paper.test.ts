import { beforeAll, describe, expect, test } from 'vitest';
import { seededRandom } from '../../server/src/rehearse/random.ts';
import { lockedFromPaper } from '../support/from-paper.ts';
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

interface Imported {
  seats: { seat: string; how: string }[];
  rounds: {
    round: number;
    tasks: string[];
    sheets: { seat: string; ratings: { task: string; rating: { step: number } }[] }[];
  }[];
}

const edited = (b: BundleJson, change: (data: Imported, e: EventJson) => unknown): void => {
  withEvent(b, indexOf(b, 'ratings-imported'), (e) => {
    change(e.data as unknown as Imported, e);
  });
};

/** Puts a copy of the import's envelope with another event right behind it, and counts on. */
const followedBy = (b: BundleJson, type: string, data: object, as?: string): void => {
  const at = indexOf(b, 'ratings-imported');
  const event = JSON.parse(b.events[at] ?? '') as EventJson & { seq: number };
  const made = {
    ...event,
    type,
    data,
    actor: as ?? event.actor,
    role: as ? 'reviewer' : event.role,
  };
  b.events.splice(at + 1, 0, JSON.stringify(made));
  b.events.forEach((_, i) => {
    withEvent(b, i, (e) => {
      (e as EventJson & { seq: number }).seq = i;
    });
  });
};

describe.skipIf(noPython)(
  'PA-6, AU-9: both verifiers, of ratings from paper',
  { timeout: 300_000 },
  () => {
    beforeAll(async () => {
      locked = await lockedFromPaper();
    });

    test('hold it, with the figures of the lock alike to the last digit', () => {
      const [pair] = verdicts(locked, [locked.bytes]);
      expect(pair?.first.findings).toEqual([]);
      expect(pair?.second.ok).toBe(true);
      expect(pair?.second.result).toEqual(pair?.first.facts?.result);
    });

    const paperSeat = (b: BundleJson): string => {
      const data = JSON.parse(b.events[indexOf(b, 'ratings-imported')] ?? '') as { data: Imported };
      return data.data.seats.find((s) => s.how === 'paper')?.seat ?? '';
    };
    const edits: [name: string, change: (b: BundleJson) => unknown, holds: boolean][] = [
      [
        'called by another file name',
        (b) => edited(b, (d) => Object.assign(d, { file: 'x.csv' })),
        true,
      ],
      [
        'a seat matched instead of made',
        (b) => edited(b, (d) => (d.seats[0]!.how = 'matched')),
        true,
      ],
      [
        'a rating changed',
        (b) => edited(b, (d) => (d.rounds[0]!.sheets[1]!.ratings[0]!.rating.step = 5)),
        false,
      ],
      ['a seat left out of the list', (b) => edited(b, (d) => d.seats.pop()), false],
      ['a sheet left out', (b) => edited(b, (d) => d.rounds[0]!.sheets.pop()), false],
      [
        'a seat twice in a round',
        (b) => edited(b, (d) => d.rounds[0]!.sheets.push(d.rounds[0]!.sheets[0]!)),
        false,
      ],
      [
        'a task twice on a sheet',
        (b) =>
          edited(b, (d) =>
            d.rounds[0]!.sheets[0]!.ratings.push(d.rounds[0]!.sheets[0]!.ratings[0]!),
          ),
        false,
      ],
      [
        'a task that is not of the round',
        (b) => edited(b, (d) => (d.rounds[1]!.tasks = [])),
        false,
      ],
      ['rounds counted from two', (b) => edited(b, (d) => (d.rounds[0]!.round = 2)), false],
      ['no round at all', (b) => edited(b, (d) => (d.rounds = [])), false],
      ['brought in by a reviewer', (b) => edited(b, (_, e) => (e.role = 'reviewer')), false],
      [
        'a moderator’s seat among those who rated',
        (b) =>
          edited(b, (d, e) => {
            d.seats[0]!.seat = e.actor;
            for (const r of d.rounds) r.sheets[0]!.seat = e.actor;
          }),
        false,
      ],
      ['brought in twice', (b) => followedBy(b, 'ratings-imported', {}), false],
      [
        'a sealed round beside it',
        (b) => followedBy(b, 'round-started', { round: 3, tasks: [], reason: null, sheets: [] }),
        false,
      ],
      [
        'a sheet beside it',
        (b) =>
          followedBy(b, 'sheet-added', {
            round: 2,
            seat: paperSeat(b),
            document: `dc_${'A'.repeat(22)}`,
          }),
        false,
      ],
      [
        'somebody who acts from a seat from paper',
        (b) =>
          followedBy(
            b,
            'endorsement-stated',
            { seat: paperSeat(b), content: true, reason: 'fits' },
            paperSeat(b),
          ),
        false,
      ],
      [
        'a remark of presentation after it',
        (b) => followedBy(b, 'task-presented', { task: null }),
        true,
      ],
    ];
    test('say the same of records that were edited and signed again', () => {
      const files = edits.map(([, change]) => {
        const bundle = opened(locked);
        change(bundle);
        return closed(resigned(locked, bundle));
      });
      const pairs = verdicts(locked, files);
      sameVerdict(
        pairs,
        edits.map(([name]) => name),
      );
      expect(pairs.map((p, i) => [edits[i]?.[0], p.first.ok])).toEqual(
        edits.map(([name, , holds]) => [name, holds]),
      );
    });

    test('say the same of records changed at random', () => {
      const random = seededRandom(SEED);
      const from = indexOf(opened(locked), 'ratings-imported');
      const files = Array.from({ length: CHANGES }, () => leafMutant(locked, random, from));
      sameVerdict(
        verdicts(locked, files),
        files.map((_, i) => `seed ${String(SEED)}, change ${String(i)}`),
      );
    });
  },
);
