/** Vitest's settings; they stand here because the top level of the project is fixed. */
import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vitest/config';

export default defineConfig({
  root: fileURLToPath(new URL('..', import.meta.url)),
  test: {
    include: ['tests/**/*.test.{ts,tsx}'],
    // The end-to-end tests need an ALSA sequencer and have a runner of their own.
    exclude: ['tests/e2e/**'],
    // Properties run hundreds of cases: a busy machine needs longer, and a test that hangs still ends.
    testTimeout: 60_000,
  },
});
