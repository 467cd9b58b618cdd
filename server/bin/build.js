import { createHash } from 'node:crypto';
import {
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { dirname, join, relative } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { brotliCompressSync, constants, gzipSync } from 'node:zlib';

const root = join(dirname(fileURLToPath(import.meta.url)), '../..');
const LOCK_MS = 180_000;

/** What each part is made of; its stamp is a hash over these files. */
const PARTS = {
  server: {
    sources: ['server/src', 'server/package.json', 'server/vite.config.ts', 'shared-types/src'],
    out: 'server/dist',
  },
  web: {
    sources: [
      'web/src',
      'web/public',
      'web/index.html',
      'web/package.json',
      'web/vite.config.ts',
      'web/svelte.config.js',
      'shared-types/src',
    ],
    out: 'web/dist',
  },
};

const filesOf = (path) => {
  const full = join(root, path);
  if (!existsSync(full)) return [];
  if (statSync(full).isFile()) return [full];
  return readdirSync(full, { recursive: true, withFileTypes: true })
    .filter((e) => e.isFile())
    .map((e) => join(e.parentPath ?? e.path, e.name))
    .sort();
};

const stampOf = (part) => {
  const hash = createHash('sha256');
  for (const file of [...part.sources.flatMap(filesOf), join(root, 'package-lock.json')]) {
    hash.update(relative(root, file)).update('\0').update(readFileSync(file)).update('\0');
  }
  return hash.digest('hex');
};

const stampFile = (part) => join(root, part.out, '.sources');

const isStale = (part) => {
  const file = stampFile(part);
  return !existsSync(file) || readFileSync(file, 'utf8') !== stampOf(part);
};

/** What the service worker keeps for work without a network. */
const writePrecache = (directory, version) => {
  const files = filesOf(relative(root, join(directory, 'assets')))
    .map((file) => `/${relative(directory, file)}`)
    .filter((file) => /\.(js|css|woff2)$/.test(file));
  const list = { version, files: [...files, '/icon.svg', '/manifest.webmanifest'] };
  writeFileSync(join(directory, 'precache.json'), JSON.stringify(list));
};

/** The languages of the pages: a folder of words each. */
const languages = () =>
  readdirSync(join(root, 'web/src/words'), { withFileTypes: true })
    .filter((entry) => entry.isDirectory())
    .map((entry) => entry.name);

/** The pages once in every language, each in a folder of its own and whole. */
const buildPages = async (build, part, stamp) => {
  rmSync(join(root, part.out), { recursive: true, force: true });
  for (const language of languages()) {
    await build({ configFile: join(root, 'web/vite.config.ts'), mode: language });
    const directory = join(root, part.out, language);
    writePrecache(directory, `${stamp.slice(0, 16)}-${language}`);
    precompress(directory);
  }
};

/** Compressed twins beside every text file, so that the server never compresses. */
const precompress = (directory) => {
  for (const file of filesOf(relative(root, directory))) {
    if (!/\.(js|css|html|svg|webmanifest|json)$/.test(file)) continue;
    const bytes = readFileSync(file);
    writeFileSync(`${file}.gz`, gzipSync(bytes, { level: 9 }));
    const params = { [constants.BROTLI_PARAM_QUALITY]: 11 };
    writeFileSync(`${file}.br`, brotliCompressSync(bytes, { params }));
  }
};

/** Two starts at once must not build into each other: the second waits for the first. */
const locked = async (work) => {
  const lock = join(root, 'node_modules/.unhindered-build');
  const until = Date.now() + LOCK_MS;
  for (;;) {
    try {
      mkdirSync(lock);
      break;
    } catch (error) {
      if (error.code !== 'EEXIST' || Date.now() > until) {
        rmSync(lock, { recursive: true, force: true });
        continue;
      }
      await new Promise((resolve) => setTimeout(resolve, 300));
    }
  }
  try {
    await work();
  } finally {
    rmSync(lock, { recursive: true, force: true });
  }
};

/** Builds the parts whose sources changed since they were built; says so in one line. */
export const buildStale = async () => {
  if (!Object.values(PARTS).some(isStale)) return;
  await locked(async () => {
    const stale = Object.entries(PARTS).filter(([, part]) => isStale(part));
    if (stale.length === 0) return;
    process.stderr.write(
      `Building ${stale.map(([name]) => name).join(' and ')}, some seconds ...\n`,
    );
    // A test runner's or a developer's own mode must not end up in what people load.
    process.env.NODE_ENV = 'production';
    const { build } = await import('vite');
    for (const [name, part] of stale) {
      const stamp = stampOf(part);
      if (name === 'web') await buildPages(build, part, stamp);
      else await build({ configFile: join(root, name, 'vite.config.ts') });
      writeFileSync(stampFile(part), stamp);
    }
  });
};

if (process.argv[1] && import.meta.url === pathToFileURL(process.argv[1]).href) await buildStale();
