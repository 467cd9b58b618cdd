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

/** A `Link` header (RFC 8288) that names what these chunks need and the shell does not name itself. */
const linkTo = (manifest: Manifest, chunks: readonly string[]): string => {
  const [shell, wanted] = [new Set<string>(), new Set<string>()];
  closure(manifest, SHELL, shell);
  for (const chunk of chunks) closure(manifest, chunk, wanted);
  const more = [...wanted].flatMap((k) => (shell.has(k) ? [] : (manifest[k] ?? [])));
  const styles = new Set(more.flatMap((c) => c.css ?? []));
  return [
    ...more.map((c) => `</${c.file}>; rel=modulepreload`),
    ...[...styles].map((file) => `</${file}>; rel=preload; as=style; crossorigin`),
  ].join(', ');
};

/**
 * PG-1: the shell at an address that phones open first says at once which files its screen needs: on a slow line they are
 * on their way a round trip and the start of the script sooner. Answers undefined for every other address, and where the
 * build left no list.
 */
export const earlyFiles = (directory: string): ((path: string) => string | undefined) => {
  const list = join(directory, '.vite/manifest.json');
  if (!existsSync(list)) return () => undefined;
  const manifest = JSON.parse(readFileSync(list, 'utf8')) as Manifest;
  const screens = FIRST.map((first) => ({ ...first, link: linkTo(manifest, first.chunks) }));
  return (path) => {
    const screen = screens.find(({ address }) => address.test(path));
    const id = screen?.address.exec(path)?.[1] ?? '';
    return screen && [...screen.asks(id).map(asked), screen.link].join(', ');
  };
};
