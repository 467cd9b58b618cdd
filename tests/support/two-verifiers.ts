import { spawnSync } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect } from 'vitest';
import { canonicalText } from '../../server/src/audit/canonical-json.ts';
import { signCheckpoint } from '../../server/src/audit/checkpoint.ts';
import { Frontier, leafHash } from '../../server/src/audit/merkle.ts';
import type { NoteSigner } from '../../server/src/audit/signed-note.ts';
import { verifyBundle } from '../../server/src/verify/verify-bundle.ts';
import { temporaryDirectory } from './temporary-directory.ts';

/** Written from the prose of the format alone, in another language, with no library. */
const SECOND = join(import.meta.dirname, 'second-verifier.py');
export const noPython = spawnSync('python3', ['--version']).status !== 0;

export type BundleJson = Record<string, unknown> & {
  events: string[];
  checkpoints: string[];
  origin: string;
};
export interface EventJson {
  type: string;
  actor: string;
  role: string;
  data: Record<string, unknown>;
}

/** A bundle that both verifiers are shown, whole and changed, and what signs it. */
export interface Shown {
  bytes: Uint8Array;
  key: string;
  signer: NoteSigner;
}

export const opened = ({ bytes }: Shown): BundleJson =>
  JSON.parse(new TextDecoder().decode(bytes)) as BundleJson;
export const closed = (bundle: object): Uint8Array =>
  new TextEncoder().encode(canonicalText(bundle));

/** Signs whatever the events are now, at the sizes that were signed before and at the end. */
export const resigned = ({ signer }: Shown, bundle: BundleJson): BundleJson => {
  const sizes = bundle.checkpoints.map((n) => Number(n.split('\n')[1]));
  const edge = new Frontier();
  const notes: string[] = [];
  bundle.events.forEach((text, i) => {
    edge.append(leafHash(text));
    const size = i + 1;
    if (!sizes.includes(size) && size !== bundle.events.length) return;
    notes.push(signCheckpoint({ origin: bundle.origin, size, root: edge.root() }, signer));
  });
  return { ...bundle, checkpoints: notes };
};

export const withEvent = (bundle: BundleJson, at: number, change: (e: EventJson) => void): void => {
  const event = JSON.parse(bundle.events[at] ?? '') as EventJson;
  change(event);
  bundle.events[at] = canonicalText(event);
};

export const indexOf = (bundle: BundleJson, type: string): number =>
  bundle.events.findIndex((e) => e.includes(`"type":"${type}"`));

/**
 * Changes one leaf of one event at random, from one event on and among those of which `among` is true: another number,
 * text, null or boolean.
 */
export const leafMutant = (
  shown: Shown,
  random: () => number,
  from = 0,
  among: (event: EventJson) => boolean = () => true,
): Uint8Array => {
  const bundle = opened(shown);
  const open = bundle.events.flatMap((text, i) =>
    i >= from && among(JSON.parse(text) as EventJson) ? [i] : [],
  );
  const at = open[Math.floor(random() * open.length)] ?? from;
  const event = JSON.parse(bundle.events[at] ?? '') as object;
  const places: [Record<string, unknown>, string][] = [];
  const walk = (node: object): void => {
    for (const [key, value] of Object.entries(node)) {
      if (typeof value === 'object' && value !== null) walk(value as object);
      else places.push([node as Record<string, unknown>, key]);
    }
  };
  walk(event);
  const [node, key] = places[Math.floor(random() * places.length)]!;
  const old = node[key];
  const others = [null, true, 0, 1, -1, 2.5, '', 'x', ' y', `${String(old)}x`, 'a\u202eb'];
  node[key] = others[Math.floor(random() * others.length)];
  bundle.events[at] = canonicalText(event);
  return closed(resigned(shown, bundle));
};

/** What both say of each of these files; the second one reads them all in one run. */
export const verdicts = (
  { key }: Shown,
  files: readonly Uint8Array[],
  extra: readonly string[] = [],
) => {
  const folder = temporaryDirectory();
  const names = files.map((bytes, i) => {
    const name = join(folder, `${String(i)}.json`);
    writeFileSync(name, bytes);
    return name;
  });
  const run = spawnSync('python3', [SECOND, '--key', key, ...extra, ...names], {
    encoding: 'utf8',
    maxBuffer: 256 * 1024 * 1024,
  });
  expect(run.stderr).toBe('');
  const second = run.stdout
    .trim()
    .split('\n')
    .map((l) => JSON.parse(l) as { ok: boolean; step: string | null; result: unknown });
  expect(second).toHaveLength(files.length);
  return files.map((bytes, i) => {
    const first = verifyBundle(bytes, { key: key });
    return { first, second: second[i]! };
  });
};

export const sameVerdict = (
  pairs: ReturnType<typeof verdicts>,
  names: readonly string[],
): { held: number; sameStep: number } => {
  let held = 0;
  let sameStep = 0;
  pairs.forEach(({ first, second }, i) => {
    const why = JSON.stringify(first.findings[0] ?? second);
    expect(second.ok, `${names[i] ?? String(i)}: ${why}`).toBe(first.ok);
    if (first.ok) held++;
    if ((first.findings[0]?.step ?? null) === second.step) sameStep++;
  });
  return { held, sameStep };
};
