import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vite';

/** The server as one bundle for Node; its dependencies stay outside, the shared types go in. */
export default defineConfig({
  root: fileURLToPath(new URL('.', import.meta.url)),
  logLevel: 'warn',
  ssr: { noExternal: ['@unhindered/shared-types'] },
  build: {
    ssr: true,
    target: 'node20',
    outDir: 'dist',
    emptyOutDir: true,
    minify: false,
    sourcemap: true,
    rolldownOptions: {
      checks: { pluginTimings: false },
      input: {
        cli: 'src/cli/cli.ts',
        'insight-worker': 'src/cli/insight-worker.ts',
        'ladder-worker': 'src/cli/ladder-worker.ts',
        'learning-worker': 'src/cli/learning-worker.ts',
        'record-worker': 'src/cli/record-worker.ts',
        'variance-worker': 'src/cli/variance-worker.ts',
        'table-worker': 'src/cli/table-worker.ts',
        'series-worker': 'src/cli/series-worker.ts',
      },
      // Chunks stand beside the entries, so that a script can name its neighbour.
      output: { entryFileNames: '[name].js', chunkFileNames: '[name]-[hash].js' },
    },
  },
});
