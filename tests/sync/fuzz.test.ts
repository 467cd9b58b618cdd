import { describe, expect, test } from 'vitest';
import { checkProtocol } from '../../server/src/protocol/check-protocol.ts';
import defaultProtocol from '../../server/src/protocol/default-protocol.json' with { type: 'json' };
import { seededRandom } from '../../server/src/rehearse/random.ts';
import { SyncWorld } from '../support/sync-world.ts';

/** How many seeds a run takes; SEEDS=5000 for a soak, SEED=n to play one again. */
const SEEDS = Number(process.env['SEEDS'] ?? 200);
const ONE = process.env['SEED'];

const checked = checkProtocol(JSON.stringify(defaultProtocol));
if (!checked.ok) throw new Error('the shipped protocol is faulty');
const { protocol } = checked;

const play = async (seed: number): Promise<SyncWorld> => {
  const random = seededRandom(seed);
  const world = new SyncWorld(protocol, random);
  await world.open();
  for (let i = 0; i < 60; i++) await world.step();
  await world.settle();
  return world;
};

/** Seeds that once failed stand here by name. */
const SEEN: number[] = [];

describe('SY-5: seeded peers, cuts, reordering and restarts', () => {
  const seeds = ONE === undefined ? Array.from({ length: SEEDS }, (_, i) => i + 1) : [Number(ONE)];

  test(
    `${String(seeds.length)} seeds end equal, with no honest edit refused`,
    { timeout: 3_600_000 },
    async () => {
      let edits = 0;
      let cuts = 0;
      let restarts = 0;
      for (const seed of [...SEEN, ...seeds]) {
        const world = await play(seed);
        edits += world.edits;
        cuts += world.cuts;
        restarts += world.restarts;
        expect(world.refusals, `SEED=${String(seed)}`).toEqual([]);
        expect(await world.differences(), `SEED=${String(seed)}`).toEqual([]);
        expect(world.leaks(), `SEED=${String(seed)}`).toEqual([]);
      }
      process.stderr.write(
        `sync fuzz: ${String(seeds.length)} seeds, ${String(edits)} edits, ${String(cuts)} cuts, ${String(restarts)} restarts\n`,
      );
      expect(edits).toBeGreaterThan(seeds.length * 10);
      expect(cuts).toBeGreaterThan(0);
    },
  );
});
