import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { SourceMap } from 'node:module';
import { tmpdir } from 'node:os';
import { join, relative } from 'node:path';
import { gzipSync } from 'node:zlib';

/** What no source answers for: the bundler's own lists of names. */
const LISTS = 'names of what it loads';

/** How many bytes of a minified file come from each source, by its map. */
const bytesBySource = (code, map) => {
  const sums = new Map();
  const finder = new SourceMap(map);
  code.split('\n').forEach((line, row) => {
    for (let column = 0; column < line.length; column += 1) {
      const source = finder.findEntry(row, column).originalSource ?? LISTS;
      sums.set(source, (sums.get(source) ?? 0) + 1);
    }
  });
  return sums;
};

const pieceOf = (dist, file, root) => {
  const code = readFileSync(join(dist, file), 'utf8');
  const size = gzipSync(code, { level: 9 }).length;
  const map = join(dist, `${file}.map`);
  const sums = existsSync(map)
    ? bytesBySource(code, JSON.parse(readFileSync(map, 'utf8')))
    : new Map();
  const sources = [...sums].map(([source, bytes]) => ({
    source: source.endsWith(LISTS) ? LISTS : relative(root, join(dist, file, '..', source)),
    size: (size * bytes) / code.length,
  }));
  return { file, size, sources: sources.toSorted((a, b) => b.size - a.size) };
};

/**
 * Builds the pages of a language with source maps, apart from those that are served, and prints what the files of a
 * screen are made of, largest first: each file with its gzipped bytes, each source with its share of them. `filesIn` names
 * the files of the screen in a folder of built pages.
 */
export const printPieces = async (root, language, filesIn) => {
  const dist = mkdtempSync(join(tmpdir(), 'unhindered-pieces-'));
  try {
    process.env.NODE_ENV = 'production';
    const { build } = await import('vite');
    const into = { outDir: dist, emptyOutDir: true, sourcemap: 'hidden' };
    await build({ configFile: join(root, 'web/vite.config.ts'), mode: language, build: into });
    const pieces = filesIn(dist).map((file) => pieceOf(dist, file, root));
    for (const { file, size, sources } of pieces.toSorted((a, b) => b.size - a.size)) {
      process.stdout.write(`${String(size).padStart(6)} ${file}\n`);
      for (const piece of sources)
        process.stdout.write(`  ${piece.size.toFixed(0).padStart(6)} ${piece.source}\n`);
    }
  } finally {
    rmSync(dist, { recursive: true, force: true });
  }
};
