import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { svelte } from '@sveltejs/vite-plugin-svelte';
import { defineConfig, type Plugin } from 'vite';

/** What is shown before any script has come, in the words that the scripts would say it in. */
const loadingIn = (language: string): string => {
  const words = new URL(`src/words/${language}/shell.ts`, import.meta.url);
  const said = /^ {2}loading: '([^']+)',$/mu.exec(readFileSync(words, 'utf8'))?.[1];
  if (said === undefined) throw new Error(`no word for loading in ${words.pathname}`);
  return said;
};

/**
 * The pages in one language: wherever the code names the English words, this build takes those of `language`, under the
 * same names. So nobody loads words they do not read, none of them is asked for late, and no screen knows of it.
 */
const inLanguage = (language: string): Plugin => ({
  name: 'words-of-one-language',
  enforce: 'pre',
  async resolveId(source, importer, options) {
    if (!/(?:^|\/)en\/[\w-]+\.ts$/u.test(source)) return null;
    const english = await this.resolve(source, importer, { ...options, skipSelf: true });
    return english?.id.replace('/src/words/en/', `/src/words/${language}/`) ?? null;
  },
  transformIndexHtml: (html) =>
    html
      .replace('<html lang="en">', `<html lang="${language}">`)
      .replace(loadingIn('en'), loadingIn(language)),
});

/** Its files do nothing when they are only loaded, but its package does not say so; then lists and choices would all go with the shell. */
const FRAMEWORK = /\/node_modules\/svelte\/src\/(?!internal\/(?:disclose-version|flags))/u;

/**
 * What of it the way in does without: lists, choices, bound fields, classes that change. An element that is given its
 * attributes as a spread object needs 1.4 kB of it, in every screen's first files: attributes are written one by one.
 */
const CHOICES =
  /\/node_modules\/(?:svelte\/src\/.*\/(?:each|select|input|this|class|shared\/attributes|clone|custom-element|legacy-client|snippet|style|store|props|html|window|svelte-element|slot)\.js$|clsx\/)/u;

/** What every screen finds loaded, in one file: the framework, the shell, its words and styles, the questions it asks, the line that says what was refused. */
const SHELL = [
  FRAMEWORK,
  /\/svelte\/src\/internal\/(?:disclose-version|flags)/u,
  /\/(?:regexparam|atkinson-hyperlegible-next)\//u,
  /vite\/preload-helper/u,
  /\/web\/src\/(?:App|routes|styles|sync\/api|state\/(?:session|settings|half-filled|install\.))\b/u,
  /\/web\/src\/components\/(?:TopBar|Status|RefusalText|follow)\b/u,
  /\/web\/src\/words\/(?:\w\w\/)?(?:shell|languages)\b/u,
];

/** What the sheet shares with others: one file, where a dozen would compress badly and cost a request each. */
const SHARED = [
  CHOICES,
  /rolldown\/runtime/u,
  /\/idb-keyval\//u,
  /\/shared-types\/src\/(?:round-half-up|decimal12|plain-text|protocol-tasks)\b/u,
  /\/web\/src\/(?:format\/(?:locale|number|time)|sync\/(?:unsent|random-id|local-store))\b/u,
  /\/web\/src\/state\/(?:after-paint|protocol|save-file|wake-lock|felt|connection|known-stops|witness)\b/u,
  /\/web\/src\/components\/(?:datum|media-of-task|TaskIntro)\b/u,
  /\/web\/src\/words\/(?:\w\w\/)?(?:plural|sheet|leaving)\b/u,
];

/** What is there when a file asks for more: the shell everywhere, at the sheet what came with it. */
const hereBefore = (host: string): RegExp =>
  /\/(?:Sheet|shared)-/u.test(host)
    ? /\/(?:app|shell|shared|rolldown-runtime|connection\.svelte|document-link)-/u
    : /\/(?:app|shell)-/u;

/** The files that the pages come in, instead of one for every piece that two screens share. */
const group = (
  name: string,
  ...tests: RegExp[]
): { name: string; test: (id: string) => boolean; includeDependenciesRecursively: false } => ({
  name,
  test: (id) => tests.some((t) => t.test(id)),
  includeDependenciesRecursively: false,
});

/** Leaves out of a screen whatever of the framework it does not call. */
const onlyWhatIsCalled = (): Plugin => ({
  name: 'only-what-is-called',
  transform: {
    filter: { id: FRAMEWORK },
    handler: (code) => ({ code, map: null, moduleSideEffects: false }),
  },
});

/** The pages: one small shell, every screen loaded when it is opened. The mode is the language they are built in. */
export default defineConfig(({ mode }) => {
  const language = /^[a-z]{2}$/u.test(mode) ? mode : 'en';
  return {
    root: fileURLToPath(new URL('.', import.meta.url)),
    logLevel: 'warn',
    resolve: {
      alias: {
        'lib0/logging': fileURLToPath(new URL('src/sync/quiet-logging.ts', import.meta.url)),
        'lib0/broadcastchannel': fileURLToPath(
          new URL('src/sync/no-other-tabs.ts', import.meta.url),
        ),
        'y-protocols/awareness': fileURLToPath(
          new URL('src/sync/no-awareness.ts', import.meta.url),
        ),
      },
    },
    plugins: [inLanguage(language), onlyWhatIsCalled(), svelte()],
    build: {
      target: ['es2022', 'safari16'],
      outDir: `dist/${language}`,
      emptyOutDir: true,
      manifest: true,
      // Inlined files would need data: in the policy for scripts and fonts.
      assetsInlineLimit: 0,
      modulePreload: {
        polyfill: false,
        // Loaded before any screen, or with the sheet: not named again in the list of what a screen brings later.
        resolveDependencies: (_file, deps, { hostType, hostId }) =>
          hostType === 'html' ? deps : deps.filter((d) => !hereBefore(hostId).test(d)),
      },
      rolldownOptions: {
        checks: { pluginTimings: false },
        input: { app: 'index.html', 'service-worker': 'src/service-worker.ts' },
        output: {
          // The worker's scope is its folder: it must stand at the root, under a name that stays.
          entryFileNames: ({ name }) =>
            name === 'service-worker' ? '[name].js' : 'assets/[name]-[hash:7].js',
          // Signs of chance do not pack: one fewer in each name that the first files hold.
          chunkFileNames: 'assets/[name]-[hash:7].js',
          assetFileNames: 'assets/[name]-[hash:7][extname]',
          codeSplitting: {
            groups: [group('shared', ...SHARED), group('shell', ...SHELL)],
          },
        },
      },
    },
  };
});
