import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { SeatClient } from '../../server/src/rehearse/seat-client.ts';
import { rehearseEvaluation } from '../../server/src/rehearse/rehearsal.ts';
import { measuredServer, type Memory } from '../support/measured-load.ts';

/**
 * A server at work for MINUTES (default 10): one whole evaluation after the other on a server that is never restarted.
 * Prints memory after each, and the slope over the second half; the first half warms up.
 */
const MINUTES = Number(process.env['MINUTES'] ?? 10);
const directory = mkdtempSync(join(tmpdir(), 'unhindered-soak-'));
const server = await measuredServer(directory);
const end = Date.now() + MINUTES * 60_000;
const seen: (Memory & { minute: number; evaluations: number })[] = [];
const began = Date.now();

/** Least squares: units of y per unit of x. */
const slope = (points: readonly [x: number, y: number][]): number => {
  const n = points.length;
  const mx = points.reduce((s, [x]) => s + x, 0) / n;
  const my = points.reduce((s, [, y]) => s + y, 0) / n;
  const above = points.reduce((s, [x, y]) => s + (x - mx) * (y - my), 0);
  const below = points.reduce((s, [x]) => s + (x - mx) ** 2, 0);
  return above / below;
};

const mb = (bytes: number): string => (bytes / 1024 / 1024).toFixed(1);

const lead = await SeatClient.signIn(server.url, server.signInLink);
try {
  for (let i = 1; Date.now() < end; i++) {
    await rehearseEvaluation({
      url: server.url,
      signInLink: server.signInLink,
      lead: lead.cookie,
      reviewers: 5,
      seed: i,
      pace: 0,
      say: () => undefined,
    });
    const minute = (Date.now() - began) / 60_000;
    const memory = await server.measure();
    seen.push({ minute, evaluations: i, ...memory });
    process.stdout.write(
      `${minute.toFixed(1)} min, ${String(i)} evaluations: heap ${mb(memory.heap)} MB, rss ${mb(memory.rss)} MB\n`,
    );
  }
  const late = seen.slice(Math.floor(seen.length / 2));
  const heap = slope(late.map((m) => [m.evaluations, m.heap]));
  const rss = slope(late.map((m) => [m.minute / 60, m.rss]));
  process.stdout.write(
    `slope over the second half: heap ${mb(heap)} MB an evaluation (its log and figures stay loaded), ` +
      `rss ${mb(rss)} MB an hour at this speed\n`,
  );
} finally {
  lead.close();
  await server.stop();
  rmSync(directory, { recursive: true });
}
