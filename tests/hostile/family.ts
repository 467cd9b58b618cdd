import { disclosed, Judgement } from './judgement.ts';
import type { HostileCase } from './case.ts';
import { addedSince, takeSnapshot, type Snapshot } from './snapshot.ts';
import type { World } from './world.ts';

/** One case as a family plays it. */
export interface Play {
  world: World;
  hostile: HostileCase;
  payload: Buffer;
  judged: Judgement;
}

/** What stood before and after, for a family's own checks. */
export interface Change {
  before: Snapshot;
  after: Snapshot;
  /** Events and documents that are new, without those of the reviewer next door. */
  events: ReturnType<typeof addedSince>['events'];
  documents: string[];
  /** What the server said on its running log meanwhile. */
  logged: string;
}

/** Plays a case; `check` looks at what changed. */
export interface Family {
  /** It speaks to no server: what is stored is looked at once, after its last case. */
  offline?: true;
  /** Its acts set a stage of their own, which writes: they look themselves at what must not be written. */
  setsStage?: true;
  act: (play: Play) => Promise<void>;
  check?: (play: Play, change: Change) => Promise<void> | void;
}

/** Figures of a run that have no threshold in a test: a loaded machine is no fault of the server. */
export const times = { bystander: [] as number[], worstStallMs: 0 };

const health = async (world: World): Promise<{ ok: boolean; seen: string }> => {
  try {
    const answer = await fetch(`${world.url}/healthz`, { signal: AbortSignal.timeout(10_000) });
    return { ok: answer.ok, seen: String(answer.status) };
  } catch (error) {
    return { ok: false, seen: String(error) };
  }
};

/** The case's payload may be held once while it is read. */
const MEMORY_MARGIN = 64 * 1024 * 1024;

const checkServer = async (play: Play, rssBefore: number): Promise<void> => {
  const { world, judged, payload } = play;
  const alive = world.server.process.exitCode === null && world.server.process.signalCode === null;
  judged.observe('process-not-crashed', alive, alive ? 'it runs' : world.server.err().slice(-500));
  const { ok, seen } = await health(world);
  judged.observe('up', alive && ok, seen);
  if (!alive) return;
  const probe = await world.server.probe();
  judged.observe('proto-clean', !probe.polluted, 'Object.prototype');
  const grown = probe.peakRss - rssBefore;
  const limit = MEMORY_MARGIN + payload.length;
  judged.observe('bounded', grown <= limit, `${String(Math.round(grown / 1e6))} MB more`);
  times.worstStallMs = Math.max(times.worstStallMs, probe.stallMs);
};

/** Looks after the reviewer next door; without `take` the store is left for a later case to look at. */
const checkOthers = async (
  play: Play,
  take: (() => Promise<Snapshot>) | undefined,
  before: Snapshot,
): Promise<Snapshot> => {
  const { world, judged } = play;
  const report = await world.bystander.report();
  times.bystander.push(...report.milliseconds);
  const fine = report.acknowledged > 0 && report.disconnects === 0;
  judged.observe(
    'others',
    fine,
    `${String(report.acknowledged)} acknowledged, ${String(report.disconnects)} disconnects`,
  );
  const p95 = report.milliseconds.toSorted((a, b) => a - b)[
    Math.floor(report.milliseconds.length * 0.95)
  ];
  judged.observe(
    'other-reviewer-p95-below-250ms',
    p95 !== undefined && p95 < 250,
    `p95 ${String(p95)} ms of ${String(report.milliseconds.length)}`,
  );
  if (!take) {
    for (const name of ['nothing-lost', 'log-still-verifies']) {
      judged.observe(
        name,
        fine,
        'speaks to no server; the store is looked at after the last such case',
      );
    }
    return before;
  }
  const snapshot = await take();
  const stored = /n=(\d+)/u.exec(String(snapshot.sheet(report.document)['aed-pads/note']))?.[1];
  const kept = Number(stored ?? 0) >= report.last && snapshot.faults.length === 0;
  judged.observe(
    'nothing-lost',
    kept,
    `acknowledged ${String(report.last)}, stored ${stored ?? '?'}; ${snapshot.faults.join()}`,
  );
  judged.observe('log-still-verifies', snapshot.faults.length === 0, snapshot.faults.join());
  return snapshot;
};

/** Checks that every family shares, from what changed between two copies of the store. */
const checkChange = (play: Play, change: Change, setsStage: boolean): void => {
  const { judged, world } = play;
  const { events, documents } = change;
  const types = events.map((e) => e.type).join(' ');
  const seen = `${String(events.length)} events (${types}), ${String(documents.length)} documents`;
  if (!setsStage) judged.observe('no-write', events.length === 0 && documents.length === 0, seen);
  const known = [...change.before.updates.keys()];
  judged.observe(
    'no-doc-created',
    documents.every((d) => known.includes(d)),
    seen,
  );
  judged.observe('no-protocol-stored', change.before.protocols === change.after.protocols, 'rows');
  const roles = events.filter((e) => /seat-(?:taken|offered)/u.test(e.type));
  judged.observe('role-unchanged', roles.length === 0, seen);
  const secrets = Object.values(world.people).map((p) => p.client.cookie.split('=')[1] ?? '');
  const told = disclosed(judged.answers, secrets);
  judged.observe('no-disclosure', told.length === 0, told.join('; '));
  const lines = change.logged.split('\n').filter((l) => l !== '');
  const forged = lines.filter((l) => !l.startsWith('{'));
  judged.observe(
    'no-control-in-log-output',
    !/[\u0000-\u0009\u000b-\u001f]/u.test(change.logged),
    '',
  );
  judged.observe('one-log-record', forged.length === 0, forged.join(' | ').slice(0, 200));
  const refusals = lines.filter((l) => l.includes('"refused"'));
  judged.observe('attempt-logged', refusals.length > 0, `${String(lines.length)} lines`);
};

const latest = new WeakMap<World, Snapshot>();

/** Plays one case against the world and judges it. */
export const play = async (
  world: World,
  family: Family,
  hostile: HostileCase,
  payload: Buffer,
  lastOfFamily: boolean,
): Promise<Judgement> => {
  const judged = new Judgement(hostile);
  const own: Play = { world, hostile, payload, judged };
  // Nothing writes between two cases but the reviewer next door: what the last one left is what this one finds.
  const before = latest.get(world) ?? (await takeSnapshot(world.directory));
  const logBefore = world.server.err().length;
  const { rss } = await world.server.probe();
  const during = await health(world);
  judged.observe('up', during.ok, during.seen);
  world.bystander.reset();
  await family.act(own);
  await checkServer(own, rss);
  const look = family.offline !== true || lastOfFamily;
  const after = await checkOthers(
    own,
    look ? () => takeSnapshot(world.directory) : undefined,
    before,
  );
  latest.set(world, after);
  const added = addedSince(before, after);
  const bystanders = new Set(added.documents.filter((d) => 'aed-pads/note' in after.sheet(d)));
  const change: Change = {
    before,
    after,
    events: added.events,
    documents: added.documents.filter((d) => !bystanders.has(d)),
    logged: world.server.err().slice(logBefore),
  };
  checkChange(own, change, family.setsStage === true);
  await family.check?.(own, change);
  return judged;
};
