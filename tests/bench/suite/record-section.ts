import { analyse } from '../../../server/src/analysis/analyse.ts';
import { eventText } from '../../../server/src/audit/event-text.ts';
import { exportBundle } from '../../../server/src/flows/export-bundle.ts';
import { verifyBundle } from '../../../server/src/verify/verify-bundle.ts';
import { figureWorkload, liveSet } from '../../support/figure-workload.ts';
import { accepted, CLIENT_AT, seatedPanel } from '../../support/seated-panel.ts';
import { testApp } from '../../support/test-app.ts';
import { median } from './numbers.ts';
import type { Row, Section } from './report.ts';

const ms = (work: () => unknown): number => {
  const start = performance.now();
  work();
  return performance.now() - start;
};

/** The bundle of a locked evaluation with so many events, most of them a task that was presented. */
const longBundle = async (events: number): Promise<{ bytes: Uint8Array; read: number }> => {
  const { app } = testApp();
  const panel = await seatedPanel(app, 3);
  accepted(await panel.act(panel.moderator, { type: 'start-round' }));
  const tasks = ['fit-retention', 'wear-comfort', 'airway-open'];
  for (const [i, who] of panel.reviewers.entries()) await panel.rate(who, { [tasks[0] ?? '']: i });
  accepted(await panel.act(panel.moderator, { type: 'open-round', withMissing: true }));
  const live = await panel.live();
  const [from, at] = [live.size, live.lastAt];
  const texts = Array.from({ length: events - from }, (_, i) =>
    eventText({
      v: 1,
      log: live.id,
      seq: from + i,
      at,
      clientAt: CLIENT_AT,
      actor: panel.moderator.seat,
      role: 'moderator',
      device: panel.moderator.device,
      cmd: null,
      type: 'task-presented',
      data: { task: tasks[i % 3] ?? null },
    }),
  );
  await app.store.commit({ appends: [{ log: live.id, from, texts }] });
  const start = performance.now();
  await app.logs.refresh(live);
  const read = performance.now() - start;
  const settle = {
    type: 'settle-task' as const,
    how: 'leave-open' as const,
    value: null,
    reason: 'Invented.',
  };
  accepted(await panel.act(panel.moderator, { type: 'adopt-undisputed' }));
  const rated = tasks[0] ?? '';
  if (!live.state.settled.has(rated))
    accepted(await panel.act(panel.moderator, { ...settle, task: rated }));
  accepted(await panel.act(panel.moderator, { type: 'lock', meaning: 'Invented.' }));
  const bundle = await exportBundle(app, live);
  if (!bundle.ok) throw new Error(bundle.rejection.message);
  return { bytes: bundle.value, read };
};

/** Milliseconds of work that the engine has compiled: two seconds of it, or thirty times, are not counted. */
const warm = (work: () => unknown): number => {
  const end = performance.now() + 2000;
  for (let i = 0; i < 30 && performance.now() < end; i++) work();
  return median(Array.from({ length: 5 }, () => ms(work)));
};

/** Verifying and reading long logs, and the statistics, in a process that does nothing else. */
export const recordSection = async (
  sizes: readonly number[],
  repeats: number,
): Promise<Section> => {
  const rows: Row[] = [];
  for (const size of sizes) {
    const { bytes, read } = await longBundle(size);
    const runs: number[] = [];
    for (let i = 0; i < repeats; i++) {
      runs.push(
        ms(() => {
          const { findings } = verifyBundle(bytes, {});
          if (findings.length > 0) throw new Error(JSON.stringify(findings[0]));
        }),
      );
    }
    const figures = {
      ms: median(runs),
      'us an event': (median(runs) * 1000) / size,
      MB: bytes.length / 1e6,
    };
    rows.push({ what: `verify ${size.toLocaleString('en')} events`, figures });
    rows.push({
      what: `read them into a state`,
      figures: { ms: read, 'us an event': (read * 1000) / size },
    });
  }
  for (const [tasks, reviewers] of [
    [30, 12],
    [500, 60],
  ] as const) {
    const source = figureWorkload(tasks, reviewers);
    const what = `${String(tasks)} tasks x ${String(reviewers)} reviewers`;
    rows.push({ what: `live set, ${what}`, figures: { ms: warm(() => liveSet(source)) } });
    rows.push({ what: `full set, ${what}`, figures: { ms: warm(() => analyse(source, null)) } });
  }
  return { name: 'Record and figures', note: `medians of ${String(repeats)}`, rows };
};
