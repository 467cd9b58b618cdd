import { fileURLToPath } from 'node:url';
import { svelte } from '@sveltejs/vite-plugin-svelte';
import { defineConfig, type Plugin } from 'vite';

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
  transformIndexHtml: (html) => html.replace('<html lang="en">', `<html lang="${language}">`),
});

/** The pages: one small shell, every screen loaded when it is opened. The mode is the language they are built in. */
export default defineConfig(({ mode }) => {
  const language = /^[a-z]{2}$/u.test(mode) ? mode : 'en';
  return {
    root: fileURLToPath(new URL('.', import.meta.url)),
    logLevel: 'warn',
    plugins: [inLanguage(language), svelte()],
    build: {
      target: ['es2022', 'safari16'],
      outDir: `dist/${language}`,
      emptyOutDir: true,
      manifest: true,
      // Inlined files would need data: in the policy for scripts and fonts.
      assetsInlineLimit: 0,
      modulePreload: { polyfill: false },
      rolldownOptions: {
        checks: { pluginTimings: false },
        input: { app: 'index.html', 'service-worker': 'src/service-worker.ts' },
        output: {
          // The worker's scope is its folder: it must stand at the root, under a name that stays.
          entryFileNames: ({ name }) =>
            name === 'service-worker' ? '[name].js' : 'assets/[name]-[hash].js',
        },
      },
    },
  };
});
