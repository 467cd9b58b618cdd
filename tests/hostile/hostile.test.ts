import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { readCorpus, WHOLE } from './case.ts';
import { bundle } from './bundle.ts';
import { changes } from './changes.ts';
import { play, times, type Family } from './family.ts';
import { awareness } from './awareness.ts';
import { figures, Tally } from './figures.ts';
import { http } from './http.ts';
import type { Judgement } from './judgement.ts';
import { payloadOf } from './payload.ts';
import { endProgram } from './program.ts';
import { protocol } from './protocol.ts';
import { closeBrowser } from './render.ts';
import { sequence } from './sequence.ts';
import { storage } from './storage.ts';
import { series } from './series.ts';
import { socketio } from './socketio.ts';
import { socketioRaw } from './socketio-raw.ts';
import { wsOpen } from './ws-open.ts';
import { yjs } from './yjs.ts';
import { openWorld, type World } from './world.ts';

const corpus = readCorpus();
const tally = new Tally();

/** Families that play against one running server. */
const FAMILIES: Record<string, Family> = {
  http,
  socketio,
  'socketio-raw': socketioRaw,
  'ws-open': wsOpen,
  'yjs-sync': yjs,
  awareness,
  'protocol-json': protocol,
  bundle,
  sequence,
  storage,
  'csv-series': series,
};

const settle = (judged: Judgement): void => {
  const change = changes.get(judged.hostile.id);
  tally.take(judged, change);
  if (process.env['SHOW'] !== undefined) {
    process.stderr.write(
      `${judged.hostile.id} ${judged.outcome ?? '?'} ${JSON.stringify(judged.results(), null, 1)}\n`,
    );
  }
  const faults = judged.faults();
  if (!change) expect(faults, judged.hostile.title).toEqual([]);
  else if (change.kind === 'changed') {
    expect(judged.outcome, `${judged.hostile.title}: ${change.reason}`).toBe(change.outcome);
    const failed = judged
      .results()
      .filter((r) => r.verdict === 'fails')
      .map((r) => r.name);
    expect(failed.filter((name) => !change.without.includes(name))).toEqual([]);
  }
};

afterAll(() => {
  process.stderr.write(`${figures(tally, corpus, WHOLE, times)}\n`);
});

describe('one running server', () => {
  let world: World;
  beforeAll(async () => {
    world = await openWorld();
  });
  afterAll(async () => {
    endProgram();
    await closeBrowser();
    await world.close();
  });

  const cases = corpus.cases.filter((c) => c.channel in FAMILIES);
  test.each(cases.map((c) => [`${c.id} ${c.class}: ${c.title}`, c] as const))(
    '%s',
    async (_name, hostile) => {
      const family = FAMILIES[hostile.channel];
      if (!family) throw new Error(`no family ${hostile.channel}`);
      if (changes.get(hostile.id)?.kind === 'not-applicable') {
        tally.skip(hostile);
        return;
      }
      let judged: Judgement;
      try {
        const last = cases.findLast((c) => c.channel === hostile.channel) === hostile;
        const payload = payloadOf(corpus.directory, hostile);
        judged = await play(world, family, hostile, payload, last);
      } catch (error) {
        tally.broken(hostile, error);
        throw error;
      }
      settle(judged);
    },
  );
});
