import { svelte } from '@sveltejs/vite-plugin-svelte';
import { svelteTesting } from '@testing-library/svelte/vite';
import { defineConfig } from 'vitest/config';
import { mutantPlugin, type Mutant } from './support/mutant.ts';

/** Folders whose tests start processes or browsers: they run one file at a time, after the quick ones. */
const heavy = ['tests/e2e/**', 'tests/crash/**', 'tests/live/**', 'tests/hostile/**'];

/** Set by `npm run mutants`: the tests then see one source with one constant flipped. */
const mutant = process.env['MUTANT'];

export default defineConfig({
  test: {
    globalSetup: mutant === undefined ? ['tests/support/build-first.ts'] : [],
    projects: [
      {
        plugins: mutant === undefined ? [] : [mutantPlugin(JSON.parse(mutant) as Mutant)],
        test: {
          name: 'core',
          environment: 'node',
          include: ['tests/**/*.test.ts'],
          exclude: [...heavy, 'tests/dom/**'],
          // Searching tests take seconds on a busy machine; only an endless loop takes this long.
          testTimeout: 60_000,
        },
      },
      {
        plugins: [svelte({ configFile: 'web/svelte.config.js' }), svelteTesting()],
        test: {
          name: 'dom',
          environment: 'jsdom',
          include: ['tests/dom/**/*.test.ts'],
          setupFiles: ['tests/support/without-layout.ts'],
        },
      },
      {
        test: {
          name: 'live',
          environment: 'node',
          include: [
            'tests/live/**/*.test.ts',
            'tests/crash/**/*.test.ts',
            'tests/hostile/**/*.test.ts',
          ],
          fileParallelism: false,
          testTimeout: 120_000,
          hookTimeout: 120_000,
          sequence: { groupOrder: 1 },
        },
      },
      {
        test: {
          name: 'e2e',
          environment: 'node',
          include: ['tests/e2e/**/*.test.ts'],
          fileParallelism: false,
          testTimeout: 240_000,
          hookTimeout: 120_000,
          sequence: { groupOrder: 2 },
        },
      },
    ],
  },
});
