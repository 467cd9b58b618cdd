import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';

/** A file of the pages as the build lists it, with the keys of those that it cannot run without. */
interface Chunk {
  file: string;
  imports?: string[];
  css?: string[];
}
type Manifest = Partial<Record<string, Chunk>>;

/** The screens that a phone opens first, what each needs beyond the shell, and what it asks the interface first. */
const FIRST: readonly {
  address: RegExp;
  chunks: readonly string[];
  asks: (id: string) => readonly string[];
}[] = [
  { address: /^\/join\/?$/u, chunks: ['src/screens/Arrive.svelte'], asks: () => [] },
  {
    address: /^\/evaluation\/(ev_[\w-]{22})\/sheet\/?$/u,
    chunks: ['src/screens/Sheet.svelte', 'src/state/connection.svelte.ts'],
    asks: (id) => [`/api/evaluations/${id}/first-look`, `/api/evaluations/${id}/protocol`],
  },
];
const SHELL = 'index.html';

const closure = (manifest: Manifest, key: string, seen: Set<string>): void => {
  if (seen.has(key)) return;
  seen.add(key);
  for (const next of manifest[key]?.imports ?? []) closure(manifest, next, seen);
};

/** An answer that a screen asks for as soon as its script runs; the browser keeps it for that. */
const asked = (path: string): string => `<${path}>; rel=preload; as=fetch; crossorigin`;

/**
 * A `Link` header (RFC 8288) that names what these chunks need: the shell first, which names itself only further down,
 * and is what the first paint waits for.
 */
const linksTo = (manifest: Manifest, chunks: readonly string[]): string[] => {
  const wanted = new Set<string>();
  for (const chunk of [SHELL, ...chunks]) closure(manifest, chunk, wanted);
  const all = [...wanted].flatMap((k) => manifest[k] ?? []);
  const styles = new Set(all.flatMap((c) => c.css ?? []));
  return [
    ...[...styles].map((file) => `</${file}>; rel=preload; as=style; crossorigin`),
    ...all.map((c) => `</${c.file}>; rel=modulepreload`),
  ];
};

/**
 * PG-1: the shell at an address that phones open first says at once which files its screen needs: on a slow line they are
 * on their way a round trip and the start of the script sooner. PG-2: at a sheet it names the two answers that the screen
 * begins with, too; who may have them is asked when they are. Answers undefined for every other address, and where the
 * build left no list.
 */
export const earlyFiles = (directory: string): ((path: string) => string | undefined) => {
  const list = join(directory, '.vite/manifest.json');
  if (!existsSync(list)) return () => undefined;
  const manifest = JSON.parse(readFileSync(list, 'utf8')) as Manifest;
  const screens = FIRST.map((first) => ({ ...first, links: linksTo(manifest, first.chunks) }));
  return (path) => {
    const screen = screens.find(({ address }) => address.test(path));
    const id = screen?.address.exec(path)?.[1] ?? '';
    return screen && [...screen.asks(id).map(asked), ...screen.links].join(', ');
  };
};
