import { availableParallelism } from 'node:os';
import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    include: ['tests/**/*.test.ts'],
    exclude: ['tests/editor/**'],
    setupFiles: ['tests/support/same-cases.ts'],
    // What is tested keeps nothing outside what it was given, so files of a worker share their modules;
    // and a core that would only wait for the other one works, too.
    isolate: false,
    maxWorkers: availableParallelism(),
    testTimeout: 180_000,
    hookTimeout: 60_000,
  },
});
