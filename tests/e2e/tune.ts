/**
 * A tune on the stage among real ALSA clients: two-note grips are followed through a repeat, endings,
 * a D.C. and a jump to the bridge, checked note by note; then what feet choose there: the tune's next
 * chord, another voicing, a latch, another preset.
 */
import assert from 'node:assert/strict';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { after, before, describe, test } from 'node:test';
import { type Listener, listenTo } from './capture.ts';
import { endChildren } from './children.ts';
import { endsSilent } from './ends-silent.ts';
import { firstPreset, secondPreset } from './expected.ts';
import { type Keyboard, plugIn, unplugAll, waitForListener } from './keyboard.ts';
import { chord, type Played, play } from './performance.ts';
import {
  addressOf,
  inputName,
  makeHome,
  outputName,
  type Program,
  startPlaying,
} from './program.ts';
import { waitFor } from './sequencer.ts';
import { balance, chordsBetweenSilences, unbalanced } from './sounding.ts';

/** Of each chord the grip (third and seventh, or sixth), its written notes, and those as numbers. */
const chords = {
  Fmaj7: { grip: [57, 64], written: 'F2,E3,A3,D4', sounds: [41, 52, 57, 62] },
  Dm7: { grip: [60, 65], written: 'D2,G3,C4,F4', sounds: [38, 55, 60, 65] },
  Gm7: { grip: [58, 65], written: 'G2,F3,Bb3,D4', sounds: [43, 53, 58, 62] },
  C7: { grip: [58, 64], written: 'C2,E3,Bb3,D4', sounds: [36, 52, 58, 62] },
  F6: { grip: [57, 62], written: 'F2,A3,D4,G4', sounds: [41, 57, 62, 67] },
  // Whole where it is jumped to: two notes alone say too little of a place so far away.
  Bbmaj7: { grip: [58, 62, 65, 69], written: 'Bb1,A3,D4,G4', sounds: [34, 57, 62, 67] },
  Bbm6: { grip: [55, 61], written: 'Bb1,G3,Db4,F4', sounds: [34, 55, 61, 65] },
  Am7: { grip: [55, 60], written: 'A1,G3,C4,E4', sounds: [33, 55, 60, 64] },
  D7: { grip: [60, 66], written: 'D2,F#3,C4,E4', sounds: [38, 54, 60, 64] },
} as const;
type Name = keyof typeof chords;

const w = (name: Name) => `voicing=${chords[name].written} ${name}`;
const chart = `title: The Ferry Bell
key: F
[A] |: ${w('Fmaj7')} | ${w('Dm7')} | [1. ${w('Gm7')} | ${w('C7')} :| [2. ${w('Gm7')} | ${w('F6')} Fine ||
[Bridge] | ${w('Bbmaj7')} | ${w('Bbm6')} | ${w('Am7')} | ${w('D7')} | ${w('Gm7')} | ${w('C7')} D.C. al Fine ||
`;

/** As it is played to its end, and from the second bar of another chorus to the bridge. */
const form: readonly Name[] = [
  ...(['Fmaj7', 'Dm7', 'Gm7', 'C7', 'Fmaj7', 'Dm7', 'Gm7', 'F6'] as const),
  ...(['Bbmaj7', 'Bbm6', 'Am7', 'D7', 'Gm7', 'C7', 'Fmaj7', 'Dm7', 'Gm7', 'F6'] as const),
];
const jumping: readonly Name[] = ['Fmaj7', 'Dm7', 'Bbmaj7', 'Bbm6', 'Am7', 'D7'];
const barsOfJump = ['1.2', '2.2', '9.2', '10.2', '11.2', '12.2'];

type Told = {
  readonly written?: string;
  readonly place?: { readonly bar: number; readonly chorus: number };
  readonly choice?: { readonly index: number };
  readonly preset?: string;
  readonly order?: string;
};

const barMs = 900;
const feet = { nextVoicing: 81, latch: 84, nextChord: 86, top: 87 } as const;

function gripsOf(names: readonly Name[]): readonly Played[] {
  return names.flatMap((name, index) =>
    chord(chords[name].grip, index * barMs, index * barMs + 500),
  );
}

const perform = (played: readonly Played[]) => play(played, addressOf(inputName)).ended;

const keysName = 'Stage keys';

describe('a tune', () => {
  const home = makeHome();
  const file = join(home, 'tune.txt');
  let program: Program;
  let listener: Listener;
  let keys: Keyboard;
  const foot = (controller: number, value: number) => keys.send([0xb0, controller, value]);
  const tread = (controller: number) => {
    foot(controller, 127);
    foot(controller, 0);
  };
  const told = (): readonly Told[] =>
    program
      .stdout()
      .split('\n')
      .filter(Boolean)
      .map((line) => JSON.parse(line) as Told)
      .filter(({ preset }) => preset !== undefined);
  const sounding = (): readonly number[] =>
    [...balance(listener.heard())]
      .filter(([, rest]) => rest > 0)
      .map(([key]) => Number(key.split('/')[1]))
      .sort((one, other) => one - other);
  const waitForSound = (notes: readonly number[]) =>
    waitFor(`${notes}; now ${sounding()}`, () =>
      String(sounding()) === String(notes) ? true : undefined,
    );
  const waitForChords = (count: number) =>
    waitFor(`${count} chords; heard ${chordsBetweenSilences(listener.heard()).length}`, () =>
      chordsBetweenSilences(listener.heard()).length >= count ? true : undefined,
    );
  /** What is told comes after what sounds. */
  const waitForTold = (count: number) =>
    waitFor(`${count} chords to be told; now ${told().length}`, () =>
      told().length >= count ? true : undefined,
    );

  before(async () => {
    writeFileSync(file, chart);
    const controls = Object.fromEntries(
      Object.entries(feet).map(([name, controller]) => [name, { controller }]),
    );
    const setlists = { Both: [firstPreset, secondPreset] };
    writeFileSync(join(home, 'settings.json'), JSON.stringify({ controls, setlists }));
    keys = plugIn(keysName);
    const inputs = ['--virtual', '--from', keysName];
    const options = ['--json', '--setlist', 'Both', '--program-change', '--chart', file];
    program = await startPlaying([...options, ...inputs], home);
    await waitForListener(keysName);
    listener = await listenTo(outputName);
  });

  after(async () => {
    unplugAll();
    await endChildren();
  });

  test('with repeats and a D.C. is followed by two-note grips, each note as it is written', async () => {
    await perform(gripsOf(form));
    await waitForChords(form.length);
    await waitForTold(form.length);
    assert.deepEqual(
      chordsBetweenSilences(listener.heard()),
      form.map((name) => [...chords[name].sounds]),
    );
    assert.deepEqual(
      told().map(({ written }) => written),
      form,
    );
    assert.deepEqual(
      told().map(({ place }) => place?.bar),
      form.map((_, index) => index + 1),
    );
    assert.deepEqual(unbalanced(listener.heard()), []);
  });

  test('is found again at the bridge after a jump', async () => {
    const toldBefore = told().length;
    await perform(gripsOf(jumping));
    await waitForChords(form.length + jumping.length);
    await waitForTold(toldBefore + jumping.length);
    const now = told().slice(toldBefore);
    assert.deepEqual(
      now.map(({ place }) => `${place?.bar}.${place?.chorus}`),
      barsOfJump,
    );
    assert.deepEqual(
      chordsBetweenSilences(listener.heard()).slice(form.length),
      jumping.map((name) => [...chords[name].sounds]),
    );
    assert.deepEqual(unbalanced(listener.heard()), []);
  });

  test('is played by a foot alone, as long as that is down', async () => {
    tread(feet.top);
    for (const name of ['Fmaj7', 'Dm7'] as const) {
      foot(feet.nextChord, 127);
      await waitForSound(chords[name].sounds);
      foot(feet.nextChord, 0);
      await waitForSound([]);
    }
    await waitFor('both chords to be told', () => {
      const last = told()
        .slice(-2)
        .map(({ written }) => written);
      return String(last) === 'Fmaj7,Dm7' ? true : undefined;
    });
    assert.deepEqual(unbalanced(listener.heard()), []);
  });

  test('feet turn to another voicing, latch it, and a program change goes to another preset', async () => {
    // A chord that the tune has not: nothing of it is written.
    const strange = [61, 65, 68];
    keys.press(...strange);
    await waitFor('a chord', () => (sounding().length > 2 ? true : undefined));
    const plain = String(sounding());
    tread(feet.nextVoicing);
    await waitFor('another voicing', () => (told().at(-1)?.choice?.index === 2 ? true : undefined));
    await waitFor('its notes', () => (String(sounding()) === plain ? undefined : true));
    tread(feet.latch);
    await waitFor('the word for it', () =>
      /stays until/iu.test(program.stdout()) ? true : undefined,
    );
    keys.lift(...strange);
    // Behind the keys on the same port: once it is heard, they have come up.
    keys.send([0xb0, 20, 1]);
    await waitFor('what comes behind', () =>
      listener
        .heard()
        .some((event) => event.kind === 'other' && event.text.includes('controller 20'))
        ? true
        : undefined,
    );
    const latched = sounding();
    assert.ok(latched.length > 2, 'a latched chord goes on');
    keys.send([0xc0, 1]);
    keys.press(60, 64, 67);
    await waitFor('the other preset', () =>
      told().at(-1)?.preset === secondPreset ? true : undefined,
    );
    keys.lift(60, 64, 67);
    keys.send([0xb0, 20, 2]);
    await waitFor('what comes behind', () =>
      listener.heard().some((event) => event.kind === 'other' && event.text.includes('value 2'))
        ? true
        : undefined,
    );
    assert.ok(sounding().length > 2, 'the next chord is latched in its turn');
    tread(feet.latch);
    await waitForSound([]);
    assert.deepEqual(unbalanced(listener.heard()), []);
    // What is bound goes no further.
    const others = listener.heard().flatMap((event) => (event.kind === 'other' ? event.text : []));
    assert.deepEqual(
      others.filter((text) => /controller 8[1467]|Program change/u.test(text)),
      [],
    );
  });

  test('SIGINT under held notes leaves nothing sounding', () =>
    endsSilent(program, listener, 'SIGINT'));
});
