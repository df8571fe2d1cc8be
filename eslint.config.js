import tseslint from 'typescript-eslint';
import { arrowLint } from './scripts/arrow-lint.mjs';

export default tseslint.config(
  {
    ignores: [
      'dist/**',
      'out/**',
      '.vscode-test/',
      'src/language/generated/',
      'src/packages/generated/',
      'src/rules/generated/',
      'src/print/generated/',
      'examples/',
    ],
  },
  ...tseslint.configs.recommended,
  {
    files: ['src/**/*.ts', 'tests/**/*.ts', 'bench/**/*.ts'],
    languageOptions: {
      parserOptions: { projectService: true, tsconfigRootDir: import.meta.dirname },
    },
    rules: {
      '@typescript-eslint/await-thenable': 'error',
      '@typescript-eslint/consistent-type-imports': 'error',
      '@typescript-eslint/no-floating-promises': 'error',
      '@typescript-eslint/no-misused-promises': 'error',
      '@typescript-eslint/only-throw-error': 'error',
      '@typescript-eslint/switch-exhaustiveness-check': [
        'error',
        { considerDefaultExhaustiveForUnions: true },
      ],
      '@typescript-eslint/no-unused-vars': [
        'error',
        { argsIgnorePattern: '^_', ignoreRestSiblings: true },
      ],
    },
  },
  {
    rules: {
      eqeqeq: 'error',
      'no-console': 'off',
      'object-shorthand': 'error',
      'prefer-const': 'error',
    },
  },
  {
    files: ['src/**/*.ts'],
    ignores: ['src/cli/**', 'src/extension/**', 'src/server/main.*.ts'],
    rules: { 'no-console': 'error' },
  },
  {
    files: ['src/**/*.ts'],
    ignores: ['src/cli/main.ts'],
    rules: {
      'no-restricted-properties': [
        'error',
        {
          object: 'process',
          property: 'exit',
          message: 'Only src/cli/main.ts ends the process, so that helpers stay testable.',
        },
      ],
    },
  },
  ...arrowLint(),
);
