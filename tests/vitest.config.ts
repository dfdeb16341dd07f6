/** Vitest's settings; they stand here because the top level of the project is fixed. */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vitest/config';

/**
 * What `npm test -- --all` runs besides: long rounds, other programs that have to be started, music
 * in its own time.
 * Single tests within other files ask tests/helpers/round.ts.
 */
const longRound = [
  'tests/live/fuzz.test.ts',
  'tests/live/gather-pianists.test.ts',
  'tests/live/engine-properties.test.ts',
  'tests/voicing/properties.test.ts',
  'tests/voicing/read-back.test.ts',
  'tests/voicing/chorale-voices.test.ts',
  'tests/live/pianists-ways.test.ts',
  'tests/revoice/outside-files.test.ts',
  'tests/revoice/chorale-revoiced.test.ts',
  'tests/sound/listen-commands.test.ts',
  'tests/sound/voicings-heard.test.ts',
  'tests/io/engraving/engrave.test.ts',
  'tests/commands/keep-killed.test.ts',
  'tests/io/takes/recorder-killed.test.ts',
  'tests/score/notation-program.test.ts',
  'tests/score/hand-out-browser.test.ts',
  'tests/terminal/**',
];

const root = fileURLToPath(new URL('..', import.meta.url));
const replacesModule = readdirSync(join(root, 'tests'), { recursive: true, encoding: 'utf8' })
  .map((name) => `tests/${name.replaceAll('\\', '/')}`)
  .filter((name) => /\.test\.tsx?$/.test(name))
  .filter((name) => /\bvi\.(doMock|mock)\(/.test(readFileSync(join(root, name), 'utf8')));
/**
 * Tests that put something else in the place of a module, or look at what a process leaves behind:
 * each of these files has a process of its own. All others share what is loaded, which takes longer
 * than most of them.
 */
const apart = [
  'tests/io/**/*.test.ts',
  'tests/terminal/**/*.test.ts',
  'tests/*.test.ts',
  ...replacesModule,
];

// Vitest called by itself runs what it is asked for; `npm test` says how much.
const isShort = process.env['HANDSPAN_TESTS'] === 'short';
// The end-to-end tests need an ALSA sequencer and have a runner of their own.
const exclude = ['tests/e2e/**', ...(isShort ? longRound : [])];
// Properties run hundreds of cases: a busy machine needs longer, and a test that hangs still ends.
const testTimeout = 60_000;
// Ink draws nothing where CI is set.
const env = { CI: 'false', CONTINUOUS_INTEGRATION: 'false' };

export default defineConfig({
  root,
  test: {
    // Of two processors Vitest itself would use one.
    maxWorkers: '100%',
    projects: [
      {
        test: {
          name: 'together',
          include: ['tests/**/*.test.{ts,tsx}'],
          exclude: [...exclude, ...apart],
          testTimeout,
          env,
          isolate: false,
        },
      },
      { test: { name: 'apart', include: apart, exclude, testTimeout, env } },
    ],
  },
});
