/** Vitest's settings; they stand here because the top level of the project is fixed. */
import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vitest/config';

/**
 * What `npm test -- --all` runs besides: long rounds, and other programs that have to be started.
 * Single tests within other files ask tests/helpers/round.ts.
 */
const longRound = [
  'tests/live/fuzz.test.ts',
  'tests/live/gather-pianists.test.ts',
  'tests/live/engine-properties.test.ts',
  'tests/voicing/properties.test.ts',
  'tests/voicing/read-back.test.ts',
  'tests/voicing/chorale-voices.test.ts',
  'tests/io/engraving/engrave.test.ts',
  'tests/io/takes/recorder-killed.test.ts',
  'tests/score/notation-program.test.ts',
  'tests/terminal/**',
];

/** Functions of their arguments: their tests leave nothing behind and may share what is loaded. */
const pureRooms = 'midi,harmony,voicing,presets,live,take,score,revoice';

// Vitest called by itself runs what it is asked for; `npm test` says how much.
const isShort = process.env['HANDSPAN_TESTS'] === 'short';
const tests = 'test.{ts,tsx}';
const exclude = ['tests/e2e/**', ...(isShort ? longRound : [])];
// Properties run hundreds of cases: a busy machine needs longer, and a test that hangs still ends.
const testTimeout = 60_000;

export default defineConfig({
  root: fileURLToPath(new URL('..', import.meta.url)),
  test: {
    // Of two processors Vitest itself would use one.
    maxWorkers: '100%',
    projects: [
      {
        test: {
          name: 'pure',
          include: [`tests/{${pureRooms}}/**/*.${tests}`],
          exclude,
          testTimeout,
          isolate: false,
        },
      },
      {
        test: {
          name: 'shell',
          include: [`tests/**/*.${tests}`],
          // The end-to-end tests need an ALSA sequencer and have a runner of their own.
          exclude: [...exclude, `tests/{${pureRooms}}/**`],
          testTimeout,
          // Ink draws nothing where CI is set.
          env: { CI: 'false', CONTINUOUS_INTEGRATION: 'false' },
        },
      },
    ],
  },
});
