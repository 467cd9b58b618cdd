import { fileURLToPath } from 'node:url';
import { svelte } from '@sveltejs/vite-plugin-svelte';
import { defineConfig } from 'vite';

/** The pages: one small shell, every screen loaded when it is opened. */
export default defineConfig({
  root: fileURLToPath(new URL('.', import.meta.url)),
  logLevel: 'warn',
  plugins: [svelte()],
  build: {
    target: ['es2022', 'safari16'],
    outDir: 'dist',
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
});
