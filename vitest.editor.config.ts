import { defineConfig } from 'vitest/config';

// Tests that drive the packaged extension in a real VS Code; one editor at a time.
export default defineConfig({
  test: {
    include: ['tests/editor/**/*.test.ts'],
    testTimeout: 180_000,
    hookTimeout: 180_000,
    fileParallelism: false,
    retry: 0,
  },
});
