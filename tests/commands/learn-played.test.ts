/** What was just played by hand becomes a preset: through the tape, the recorder and the list of presets. */
import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, onTestFinished, test } from 'vitest';
import { learnPlayed } from '../../src/commands/play/learn-played.ts';
import { openRecorder } from '../../src/session/recording.ts';
import type { TakeEvent } from '../../src/take/take.ts';
import { keepsLowIntervalLimits } from '../../src/voicing/constraints.ts';
import { rehearseIn } from '../helpers/rehearsal.ts';

function rehearse() {
  const folder = mkdtempSync(join(tmpdir(), 'handspan-learn-'));
  const order = rehearseIn(folder, 'drop-2-sevenths');
  const { session } = order;
  const recorder = openRecorder(
    join(folder, 'takes'),
    () => ({ preset: '', key: '' }),
    () => {},
  );
  session.tape.use(recorder);
  session.onLearn = (name, since) => learnPlayed(session, order.own, name, since);
  onTestFinished(() => {
    recorder.end();
    rmSync(folder, { recursive: true });
  });
  let now = 0;
  /** Each for a second, on the channels in turn; and a close triad high above is sent for each. */
  const hands = (
    chords: readonly (readonly number[])[],
    channels: readonly number[] = [0],
    lengthMicroseconds = 1_000_000,
    lateMicroseconds = 0,
  ) => {
    now += 1_000;
    if (lateMicroseconds > 0) {
      const late = chords.flatMap((notes, place) =>
        notes.flatMap((note): readonly TakeEvent[] => {
          const at = now + place * lengthMicroseconds;
          const until = at + lengthMicroseconds + lateMicroseconds;
          return [
            { direction: 'played', atMicroseconds: at, bytes: [0x90, note, 80] },
            { direction: 'played', atMicroseconds: until, bytes: [0x80, note, 80] },
          ];
        }),
      );
      session.tape.takeEvents(late.sort((one, other) => one.atMicroseconds - other.atMicroseconds));
      return;
    }
    for (const notes of chords) {
      const events = (direction: TakeEvent['direction'], status: number, all: readonly number[]) =>
        all.map((note, place): TakeEvent => {
          const channel = channels[place % channels.length] ?? 0;
          return { direction, atMicroseconds: now, bytes: [status + channel, note, 80] };
        });
      session.tape.takeEvents([
        ...events('played', 0x90, notes),
        ...events('sounded', 0x90, [84, 88, 91]),
      ]);
      now += lengthMicroseconds;
      session.tape.takeEvents([
        ...events('played', 0x80, notes),
        ...events('sounded', 0x80, [84, 88, 91]),
      ]);
    }
  };
  /** Longer than the test takes. */
  const pause = () => {
    now += 60_000_000;
  };
  return { order, session, hands, pause, folder };
}

const above = (roots: readonly number[], steps: readonly number[]) =>
  roots.map((root) => steps.map((step) => root + step));
const triads = above([60, 65, 67, 60, 65, 67], [0, 4, 7]);
/** Root, seventh, third, or root, third, seventh: shell voicings (common practice, no source). */
const shells = [
  [50, 60, 65],
  [43, 53, 59],
  [48, 59, 64],
  [45, 55, 60],
  [50, 60, 65],
  [43, 53, 59],
  [48, 59, 64],
];

test('what the hands voiced is written beside the others, listed, and plain triads answer in it', async () => {
  const { order, session, hands, folder } = rehearse();
  const played = { Dm: [50, 60, 65, 69], G: [43, 53, 59, 64], C: [48, 59, 64, 67] };
  const others = [
    [45, 55, 60, 64],
    [41, 52, 57, 60],
    [47, 57, 62, 65],
    [40, 56, 62, 65],
  ];
  hands([...Object.values(played), ...others, [45, 55, 60, 64]], [0, 1]);
  const { said } = await order("learn 'Own sevenths'");
  expect(said[0]).toMatch(
    /^'Own sevenths' plays .*: from plain triads 8 of 8 chords note for note/,
  );
  expect(session.setup.preset.id).toBe('own-sevenths');
  expect(order.own.lines.map(({ id }) => id)).toContain('own-sevenths');
  for (const [triad, notes] of Object.entries(played)) {
    const [line] = (await order(`play ${triad}`)).lines;
    expect(
      line?.sent.notes.map(({ midi }) => midi % 12),
      triad,
    ).toEqual(notes.map((n) => n % 12));
  }

  const written = readFileSync(join(folder, 'own-sevenths.json'), 'utf8');
  expect((await order('learn Own sevenths')).said[0]).toContain('already');
  expect(readFileSync(join(folder, 'own-sevenths.json'), 'utf8')).toBe(written);
});

test('of two textures the last one is learned, and that is said; of a recording all of it', async () => {
  const { order, session, hands, pause } = rehearse();
  hands([...triads, ...shells]);
  const { said } = await order('learn Last');
  expect(said[0]).toContain('of 7 chords');
  expect(said[0]).toContain('(6 chords before them are built otherwise)');
  session.tape.toggle();
  pause();
  hands(triads.slice(0, 3));
  expect((await order('learn Recorded')).said[0]).toContain('of 3 chords');
});

test('of a marked stretch all is learned, in whatever texture, and nothing of what came before', async () => {
  const { order, session, hands } = rehearse();
  expect((await order("learn 'Too soon' since mark")).said[0]).toContain("say 'mark' first");
  // Short ones, right before the mark.
  hands(shells, [0], 100_000);
  expect((await order('mark')).said[0]).toContain('since mark');
  hands([...triads, ...shells.slice(0, 4)]);
  session.listen(true);
  const { said } = await order("learn 'Since' since mark");
  expect(said[0]).toMatch(/'Since' plays .* of 10 chords/);
  // It answers to plain triads from now on.
  await order('');
  expect(session.isListening).toBe(false);
});

test('of a texture in parallel a plain chord has one answer, whatever sounded before', async () => {
  const { order, hands } = rehearse();
  // Minor chords alone, each a stack of fourths over its root in octaves.
  hands([50, 52, 57, 55, 52, 50].map((root) => [root - 12, root, root + 5, root + 10, root + 15]));
  expect((await order('learn Parallel')).said[0]).toContain('from plain triads 6 of 6');
  const answers = new Set<string>();
  for (const before of ['C', 'Ab', 'Em', 'F#', 'Bdim', 'Dm']) {
    await order('let go', `play ${before}`);
    const [line] = (await order('play Dm')).lines;
    answers.add(line?.sent.notes.map(({ midi }) => midi - 38).join(' ') ?? '');
  }
  expect([...answers]).toEqual(['12 17 22 27']);
});

test('a shape of the hands goes on for chords that were not in the passage', async () => {
  const { order, session, hands } = rehearse();
  await order('key F');
  /** 1 5 7 3 9, as each chord has them. */
  const built = [
    [41, 48, 52, 57, 67],
    [43, 50, 53, 58, 69],
    [34, 53, 57, 62, 72],
    [36, 55, 58, 64, 74],
    [38, 57, 60, 65, 76],
    [43, 50, 53, 58, 69],
    [36, 55, 58, 64, 74],
    [41, 48, 52, 57, 67],
  ];
  hands(built);
  expect((await order('learn Tall')).said[0]).toContain('8 of 8 chords note for note');
  expect(session.setup.preset.shape).toBe('5 7 3 9');
  const [line] = (await order('play Ebmaj7')).lines;
  expect(line?.sent.notes.map(({ midi }) => (midi - 3) % 12)).toEqual([0, 7, 11, 4, 2]);
});

test('what was in the passage comes back when it is played with its tensions, and not as a triad alone', async () => {
  const { order, hands } = rehearse();
  await order('key C');
  /** Ninth chords, each root, seventh, ninth, third. */
  const ninths = [
    [36, 58, 62, 64],
    [41, 63, 67, 69],
    [46, 56, 60, 62],
    [39, 61, 65, 67],
  ];
  hands([...ninths, ...ninths.slice(0, 2)]);
  expect((await order('learn Ninths')).said[0]).toContain('6 of 6 chords note for note');
  for (const [symbol, place] of Object.entries({ C: 0, F: 1, Bb: 2, Eb: 3 })) {
    const root = 48 + ((ninths[place]?.[0] ?? 0) % 12);
    const close = [0, 4, 7, 10, 14].map((step) => root + step).join(' ');
    for (const played of [symbol, `${symbol}7`, `${symbol}9`, close]) {
      const [line] = (await order('let go', `play ${played}`)).lines;
      expect(
        line?.sent.notes.map(({ midi }) => midi),
        played,
      ).toEqual(ninths[place]);
    }
  }
});

const everyRoot = 'C Db D Eb E F F# G Ab A Bb B'.split(' ');

test('a learned shape goes no lower than the hands did and has no more voices, and what is low is clear', async () => {
  const { order, session, hands } = rehearse();
  await order('key C');
  /** Dm7, G7, Cmaj7, Am7, Fmaj7, each as it stands in the passage: 7 1 9 3, then 1 7 3 5. */
  const passages = [
    {
      shape: 'b7 1 9 b3',
      chords: [
        [72, 74, 76, 77],
        [65, 67, 69, 71],
        [71, 72, 74, 76],
        [67, 69, 71, 72],
        [72, 74, 76, 77],
        [76, 77, 79, 81],
      ],
    },
    {
      shape: '1 b7 b3 5',
      chords: [
        [50, 60, 65, 69],
        [43, 53, 59, 62],
        [48, 59, 64, 67],
        [45, 55, 60, 64],
        [50, 60, 65, 69],
        [41, 52, 57, 60],
      ],
    },
  ];
  for (const { shape, chords } of passages) {
    await order('mark');
    hands(chords);
    expect((await order(`learn '${shape}' since mark`)).said[0]).toContain(
      '6 of 6 chords note for note',
    );
    expect(session.setup.preset.shape).toBe(shape);
    const lowest = Math.min(...chords.flat());
    let count = 0;
    for (const root of everyRoot) {
      for (const type of ['', 'm', '7', 'maj7']) {
        const [line] = (await order('let go', `play ${root}${type}`)).lines;
        const notes = line?.sent.notes.map(({ midi }) => midi) ?? [];
        // Without its ninth in the key it is another shape.
        if (line?.sent.label.includes(' for 9') === true) continue;
        count += 1;
        expect(notes[0], `${root}${type}: ${notes}`).toBeGreaterThanOrEqual(lowest);
        expect(notes.length).toBe(4);
        expect(keepsLowIntervalLimits(notes), `${root}${type}: ${notes}`).toBe(true);
      }
    }
    expect(count).toBeGreaterThan(40);
  }
});

test('chords that are let go late are learned as they were voiced, not two as one', async () => {
  const { order, session, hands } = rehearse();
  await order('key C');
  /** Each held until the one after the next: eight keys are down. */
  const chords = [
    [60, 64, 65, 69],
    [59, 64, 65, 69],
    [59, 62, 64, 67],
    [60, 62, 67, 69],
    [60, 64, 65, 69],
    [57, 60, 64, 67],
  ];
  hands(chords, [0], 1_000_000, 1_500_000);
  expect((await order('learn Late')).said[0]).toMatch(/[56] of 6 chords note for note/);
  for (const root of everyRoot) {
    const [line] = (await order('let go', `play ${root}`)).lines;
    expect(line?.sent.notes.length, `${root}`).toBeLessThanOrEqual(4);
  }
  expect(session.setup.preset.voices).toBeLessThanOrEqual(4);
});

test('while it listens, what was voiced before is not learned from', async () => {
  const { order, session, hands, pause } = rehearse();
  for (const triad of ['C', 'F', 'G']) await order(`play ${triad}`);
  hands(triads.slice(0, 3));
  pause();
  await order('listen');
  await order('play 41 48 56 62 67');
  const voiced = session.tape.chords.filter(({ played }) => played === undefined);
  expect(voiced).toHaveLength(3);
  expect(session.tape.listenedSince).toBe((voiced.at(-1)?.atMicroseconds ?? 0) + 1);
  await order('listen off');
  await order('play C');
  expect(session.tape.listenedSince).toBeUndefined();
});

test('without a key the one that was played in is set where it is clear, and that is said', async () => {
  const { order, session, hands } = rehearse();
  await order('key none');
  hands(shells);
  expect((await order('learn Heard')).said[0]).toContain(
    'The key is C major now, as you played it.',
  );
  expect(session.setup.key).toBe('C major');
});

test('where nothing can be learned it is said why, and no file is written', async () => {
  const { order, hands, folder } = rehearse();
  const presets = () => readdirSync(folder).filter((name) => name.endsWith('.json'));
  expect((await order('learn Empty')).said[0]).toMatch(/^Nothing was played in the last minutes/);
  hands(shells, [9]);
  expect((await order('learn Drums')).said[0]).toMatch(/^Nothing was played in the last minutes/);
  hands([[60], [62], [64], [65]]);
  expect((await order('learn A line')).said[0]).toMatch(/no three different notes/);
  expect((await order('learn')).said[0]).toContain('needs a name');
  expect(presets()).toEqual([]);
});
