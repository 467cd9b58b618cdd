import { randomUUID } from 'node:crypto';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { diskMedia } from '../../server/src/adapters/disk-media.ts';
import { MemoryStore } from '../../server/src/adapters/memory-store.ts';
import { verifierKey } from '../../server/src/audit/signed-note.ts';
import { Rooms } from '../../server/src/documents/rooms.ts';
import { protocolKey, type App, type LiveEvaluation } from '../../server/src/flows/app.ts';
import { learnFrom, type LearningQuestion } from '../../server/src/evaluation/learning.ts';
import { insight, type InsightQuestion } from '../../server/src/evaluation/insight.ts';
import { answerTable, type TableQuestion } from '../../server/src/evaluation/table-figures.ts';
import { Catalogue } from '../../server/src/flows/catalogue.ts';
import { ClockWatch } from '../../server/src/flows/clock-watch.ts';
import { commitWrites } from '../../server/src/flows/commit-writes.ts';
import { CodeLimits } from '../../server/src/http/code-limits.ts';
import { Insights } from '../../server/src/flows/insights.ts';
import { paperFonts } from '../../server/src/adapters/paper-fonts.ts';
import { makeRecord } from '../../server/src/cli/make-record.ts';
import { componentsByReml } from '../../server/src/consensus/variance-components.ts';
import { Ladders } from '../../server/src/flows/ladders.ts';
import { ladderFigures } from '../../server/src/evaluation/ladder-figures.ts';
import type { GatheredLadder } from '../../server/src/evaluation/ladders.ts';
import { seededChance } from '../../server/src/analysis/seeded-chance.ts';
import { LADDER_SEED } from '../../server/src/measures/access-figures.ts';
import { Records, type RecordQuestion } from '../../server/src/flows/records.ts';
import { Logs } from '../../server/src/flows/logs.ts';
import { PublicLinks } from '../../server/src/flows/public-links.ts';
import { Tables } from '../../server/src/flows/tables.ts';
import type { Store } from '../../server/src/ports/store.ts';
import { checkProtocol } from '../../server/src/protocol/check-protocol.ts';
import defaultProtocol from '../../server/src/protocol/default-protocol.json' with { type: 'json' };
import { protocolText } from '../../server/src/protocol/protocol-text.ts';
import { countingIds } from './counting-ids.ts';
import { HandClock } from './hand-clock.ts';
import { SeriesImports } from '../../server/src/flows/series-imports.ts';
import { WorkerSeries } from '../../server/src/adapters/worker-series.ts';

const SERIES_THREAD = new URL('../../server/dist/series-worker.js', import.meta.url);

const signer = { name: 'test.local', seed: new Uint8Array(32).fill(3) };
export const vkey = verifierKey(signer);

/** The same figures without a thread of their own. */
const here = {
  ask: (question: InsightQuestion) => Promise.resolve(insight(question)),
  close: () => Promise.resolve(),
};
const laddersHere = {
  ask: (question: GatheredLadder[]) =>
    Promise.resolve(ladderFigures(question, seededChance(LADDER_SEED))),
  close: () => Promise.resolve(),
};
const tablesHere = {
  ask: (question: TableQuestion) => Promise.resolve(answerTable(question)),
  close: () => Promise.resolve(),
};
const learningHere = {
  ask: (question: LearningQuestion) => Promise.resolve(learnFrom(question)),
  close: () => Promise.resolve(),
};
const recordsHere = {
  ask: (question: RecordQuestion) => makeRecord(question, paperFonts),
  close: () => Promise.resolve(),
};
/** Small enough to be passed by a test. */
const MEDIA_LIMITS = { photo: 1_000_000, clip: 2_000_000 };
const silent = { info: () => undefined, error: () => undefined };

const published = () => {
  const checked = checkProtocol(JSON.stringify(defaultProtocol));
  if (!checked.ok) throw new Error('the shipped protocol is faulty');
  const { protocol } = checked;
  return new Map([[protocolKey(protocol), { protocol, ...protocolText(protocol) }]]);
};

export interface TestApp {
  app: App;
  clock: HandClock;
  homes: Map<string, LiveEvaluation>;
  /** Logs that changed, in order, and sessions that were ended. */
  changed: string[];
  ended: { sessions: readonly string[]; why: string }[];
}

/** The flows around a store in memory, with a clock that is moved by hand and ids that count up. */
export const testApp = (store: Store = new MemoryStore()): TestApp => {
  const clock = new HandClock();
  const homes = new Map<string, LiveEvaluation>();
  const changed: string[] = [];
  const ended: TestApp['ended'] = [];
  const app: App = {
    store,
    logs: new Logs(store, vkey),
    doubts: new Map(),
    catalogue: new Catalogue(),
    links: new PublicLinks(),
    media: diskMedia(join(tmpdir(), `media-${randomUUID()}`), MEDIA_LIMITS),
    insights: new Insights(here, silent),
    ladders: new Ladders(laddersHere),
    variances: {
      ask: (cells) => Promise.resolve(componentsByReml(cells) ?? null),
      close: () => Promise.resolve(),
    },
    tables: new Tables(tablesHere, silent),
    learning: learningHere,
    records: new Records(recordsHere),
    series: new SeriesImports(new WorkerSeries(SERIES_THREAD), 'unhindered test'),
    rooms: new Rooms(store, (batch) => commitWrites(app, homes, batch), clock),
    ids: countingIds(),
    timers: clock,
    clock: new ClockWatch(clock),
    signer,
    software: 'unhindered test',
    transport: 'loopback',
    proxied: false,
    protocols: published(),
    codes: new CodeLimits(() => clock.now()),
    names: new Map(),
    system: null,
    readOnly: null,
    shared: false,
    wrote: () => undefined,
    changed: (log) => changed.push(log),
    ended: (sessions, why) => ended.push({ sessions, why }),
  };
  return { app, clock, homes, changed, ended };
};
