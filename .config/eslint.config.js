import svelte from 'eslint-plugin-svelte';
import tseslint from 'typescript-eslint';
import svelteConfig from '../web/svelte.config.js';

/** Rooms without clock, chance or I/O of their own: the same functions serve server, command line and verifier. */
const PURE = [
  'server/src/{evaluation,consensus,measures,audit,verify,protocol,bundle,report,wire}/**/*.ts',
  'shared-types/src/**/*.ts',
];

const project = {
  projectService: true,
  tsconfigRootDir: new URL('..', import.meta.url).pathname,
  extraFileExtensions: ['.svelte'],
};

export default tseslint.config(
  {
    ignores: ['**/dist/**', 'node_modules/**', '.config/**', 'web/*.js', 'web/*.ts', 'server/*.ts'],
  },
  {
    files: ['**/*.ts', '**/*.svelte'],
    extends: [tseslint.configs.recommendedTypeChecked],
    languageOptions: { parserOptions: project },
    rules: {
      '@typescript-eslint/consistent-type-imports': 'error',
      '@typescript-eslint/no-explicit-any': 'error',
      '@typescript-eslint/no-floating-promises': 'error',
      '@typescript-eslint/no-misused-promises': ['error', { checksVoidReturn: false }],
      '@typescript-eslint/switch-exhaustiveness-check': 'error',
      '@typescript-eslint/no-unused-vars': ['error', { argsIgnorePattern: '^_' }],
      eqeqeq: ['error', 'always', { null: 'ignore' }],
      'no-console': 'error',
      'max-lines': ['error', { max: 300, skipBlankLines: false }],
      'max-lines-per-function': ['error', { max: 110, skipBlankLines: true, skipComments: true }],
    },
  },
  ...svelte.configs.recommended,
  {
    files: ['**/*.svelte', '**/*.svelte.ts'],
    languageOptions: { parserOptions: { ...project, parser: tseslint.parser, svelteConfig } },
    rules: {
      'svelte/no-at-html-tags': 'error',
      // Of a component's properties, named in one go, some are written back and others are not.
      'prefer-const': ['error', { destructuring: 'all' }],
      // The router is our own, and every address is one of its paths.
      'svelte/no-navigation-without-resolve': 'off',
      // Snapshots of views are replaced whole, so plain maps and sets in them are never changed.
      'svelte/prefer-svelte-reactivity': 'off',
      'max-lines-per-function': 'off',
      // Parameters of callbacks in markup have no types here; svelte-check knows and checks them.
      '@typescript-eslint/no-unsafe-argument': 'off',
      '@typescript-eslint/no-unsafe-assignment': 'off',
      '@typescript-eslint/no-unsafe-member-access': 'off',
      '@typescript-eslint/no-unsafe-return': 'off',
    },
  },
  {
    files: PURE,
    rules: {
      'no-restricted-properties': [
        'error',
        { object: 'Date', property: 'now', message: 'Time comes in as an argument.' },
        { object: 'Math', property: 'random', message: 'Chance comes in as an argument.' },
        { object: 'crypto', property: 'randomUUID', message: 'Ids come in as arguments.' },
      ],
      'no-restricted-globals': ['error', 'setTimeout', 'setInterval', 'process', 'fetch'],
      'no-restricted-syntax': [
        'error',
        { selector: 'NewExpression[callee.name="Date"]', message: 'Time comes in as an argument.' },
      ],
    },
  },
  {
    files: ['tests/**/*.ts'],
    rules: {
      'max-lines': ['error', { max: 400, skipBlankLines: false }],
      'max-lines-per-function': 'off',
      '@typescript-eslint/no-unsafe-assignment': 'off',
      '@typescript-eslint/no-unsafe-member-access': 'off',
      '@typescript-eslint/no-unsafe-argument': 'off',
      '@typescript-eslint/no-unsafe-call': 'off',
      '@typescript-eslint/no-unsafe-return': 'off',
      '@typescript-eslint/require-await': 'off',
    },
  },
);
