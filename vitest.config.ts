import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    include: ['tests/**/*.test.ts'],
    exclude: ['tests/editor/**'],
    testTimeout: 180_000,
    hookTimeout: 60_000,
  },
});
