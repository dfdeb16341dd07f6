/**
 * The demo set: an invented setlist of shipped presets and an invented tune in F major, another
 * preset on every bar. Feet, keys and program changes ask for them; a melody above the chord zone,
 * pedalling and overlapping chords go on meanwhile. Times are beats of 800 ms from the first bar,
 * four to a bar; notes are MIDI note numbers (60 = C4), lowest first.
 *
 * The times keep clear of each other, for an emulated machine is late by tens of milliseconds: keys
 * of a chord lie within 25 ms, it is read 150 ms after the first of them, and nothing else happens
 * from 150 ms before that to 150 ms after the last note sent for it.
 */
import type { MidiEvent } from 'midi-file';
import { control, type Played, tread } from './performance.ts';

export const beatMs = 800;
const beatsPerBar = 4;
export const waitMs = 150;

export const setlistName = 'Lamps along the weir';
export const keyName = 'F major';
/** By the shipped presets' ids; the fourths over the root twice, with another between. */
export const setlist = [
  'fourths-over-root',
  'drop-2-sevenths',
  'fourths-over-root',
  'block-lead',
  'spread-tenths',
  'voices-apart',
  'close-as-played',
  'spread-rolled',
  'shells',
  'rootless-hand',
  'close-sixths',
  'fourths-over-third',
] as const;

/** Chords are played here, C2 to B4; the melody lies above, the switching keys below. */
export const zone = { lowest: 36, highest: 71 };
export const controls = {
  isProgramChangeObeyed: true,
  next: { controller: 80 },
  previous: { controller: 81 },
  choose: { controller: 82 },
  keys: { lowest: 24, highest: 35 },
} as const;

type Switch = 'none' | 'next' | 'previous' | 'program' | 'value' | 'key';

type Chord = {
  /** Beat of the bar. */
  readonly at?: number;
  readonly name: string;
  readonly keys: readonly number[];
  /** How this chord's preset is asked for, half a beat before it. */
  readonly by: Switch;
  /** Where that leads in the setlist, 0 for the first. */
  readonly place: number;
  /** Beats it is held; longer than to the next chord is legato. */
  readonly beats?: number;
  /** What begins to sound for it as channel/note, lowest first, written by hand from the source. */
  readonly byHand?: { readonly notes: string; readonly source: string };
};

/**
 * Rules the voicings written by hand follow from, and where each was read. Which inversion of a
 * dropped chord it is, the way from the chord before says: the one with the smallest steps.
 */
const terefenko =
  'D. Terefenko, Jazz Theory, p. 47, fig. 4.15 (read second-hand): the second voice from the top of a ' +
  'seventh chord in close position goes down an octave';
const lindsay =
  'G. Lindsay, Jazz Arranging Techniques, ch. 10 (read in excerpt): four notes in close position ' +
  'below the lead; the lead doubled an octave lower: common practice, no source';
const pease =
  'T. Pease and K. Pullig, Modern Jazz Voicings, ch. 5 (read in excerpt): fourths over a root; here ' +
  '3 13 9, computed';
const shell = 'definition: root, seventh and third alone';

type Bar = {
  readonly chords: readonly Chord[];
  /** Above the zone: beat, note, beats held. */
  readonly melody?: readonly (readonly [at: number, note: number, beats: number])[];
  /** The sustain pedal goes down, comes up, or up and down again, half a beat after the barline. */
  readonly pedal?: 'down' | 'up' | 'anew';
};

const legato = 4.5;
const detached = 3;

const bars: readonly Bar[] = [
  { chords: [{ name: 'F', keys: [60, 65, 69], by: 'none', place: 0, beats: detached }] },
  {
    chords: [
      {
        name: 'Dm7/C',
        keys: [60, 62, 65, 69],
        by: 'next',
        place: 1,
        beats: legato,
        byHand: { notes: '0/38 0/50 0/57 0/60 0/65', source: terefenko },
      },
    ],
    melody: [[1, 77, 1]],
  },
  {
    chords: [{ name: 'Gm', keys: [62, 67, 70], by: 'next', place: 2, beats: legato }],
    melody: [[0, 74, 1.5]],
  },
  {
    chords: [
      {
        name: 'C7',
        keys: [58, 60, 64, 67],
        by: 'next',
        place: 3,
        beats: detached,
        byHand: { notes: '0/55 0/58 0/60 0/64 0/67', source: lindsay },
      },
    ],
    melody: [
      [1, 76, 1],
      [2, 79, 1],
    ],
  },
  {
    chords: [
      {
        name: 'F',
        keys: [60, 65, 69],
        by: 'previous',
        place: 2,
        beats: detached,
        byHand: { notes: '0/41 0/57 0/62 0/67', source: pease },
      },
    ],
  },
  {
    chords: [
      { name: 'Bb', keys: [62, 65, 70], by: 'program', place: 4, beats: 1 },
      {
        at: 2,
        name: 'Gm7',
        keys: [62, 65, 67, 70],
        by: 'next',
        place: 5,
        beats: 2.5,
        byHand: { notes: '0/53 1/58 2/62 3/67', source: terefenko },
      },
    ],
    melody: [[0, 74, 1]],
  },
  {
    chords: [{ name: 'Am/C', keys: [60, 64, 69], by: 'next', place: 6, beats: legato }],
    melody: [
      [1, 76, 1],
      [2, 72, 1.5],
    ],
  },
  { chords: [{ name: 'Dm', keys: [62, 65, 69], by: 'key', place: 2, beats: detached }] },
  {
    chords: [
      {
        name: 'Gm/D',
        keys: [62, 67, 70],
        by: 'next',
        place: 3,
        beats: detached,
        byHand: { notes: '0/58 0/62 0/65 0/67 0/70', source: lindsay },
      },
    ],
    melody: [[1, 82, 1]],
  },
  {
    chords: [{ name: 'C', keys: [60, 64, 67], by: 'value', place: 7, beats: legato }],
    pedal: 'down',
    melody: [[2, 79, 2]],
  },
  {
    chords: [
      {
        name: 'Am7',
        keys: [57, 60, 64, 67],
        by: 'next',
        place: 8,
        beats: legato,
        byHand: { notes: '0/45 0/55 0/60', source: shell },
      },
    ],
    pedal: 'anew',
    melody: [[0, 76, 2]],
  },
  {
    chords: [{ name: 'Dm7/C', keys: [60, 62, 65, 69], by: 'next', place: 9, beats: detached }],
    pedal: 'anew',
  },
  {
    chords: [{ name: 'Bb/D', keys: [62, 65, 70], by: 'next', place: 10, beats: legato }],
    pedal: 'up',
    melody: [[2, 77, 1]],
  },
  { chords: [{ name: 'C', keys: [60, 64, 67], by: 'next', place: 11, beats: detached }] },
  {
    chords: [
      {
        name: 'F/C',
        keys: [60, 65, 69],
        by: 'next',
        place: 0,
        beats: legato,
        byHand: { notes: '0/41 0/57 0/62 0/67', source: pease },
      },
    ],
  },
  {
    chords: [
      {
        name: 'Fmaj7/C',
        keys: [60, 64, 65, 69],
        by: 'next',
        place: 1,
        beats: 4,
        byHand: { notes: '0/41 0/53 0/60 0/64 0/69', source: terefenko },
      },
    ],
    melody: [
      [0, 81, 1.5],
      [2, 84, 2],
    ],
  },
];

export type DemoChord = Chord & {
  readonly bar: number;
  readonly downMs: number;
};

/** Every chord of the tune in order, with the time its first key goes down. */
export const demoChords: readonly DemoChord[] = bars.flatMap(({ chords }, bar) =>
  chords.map((chord) => ({
    ...chord,
    bar: bar + 1,
    downMs: (bar * beatsPerBar + (chord.at ?? 0)) * beatMs,
  })),
);

function note(noteNumber: number, velocity: number, downMs: number, upMs: number): Played[] {
  const common = { channel: 0, noteNumber, deltaTime: 0 } as const;
  return [
    { atMs: downMs, event: { ...common, type: 'noteOn', velocity } },
    { atMs: upMs, event: { ...common, type: 'noteOff', velocity: 40 } },
  ];
}

function switchTo({ by, place, downMs }: DemoChord): readonly Played[] {
  const atMs = downMs - beatMs / 2;
  switch (by) {
    case 'next':
      return tread(controls.next.controller, atMs);
    case 'previous':
      return tread(controls.previous.controller, atMs);
    case 'value':
      return [control(controls.choose.controller, place, atMs)];
    case 'key':
      return note(controls.keys.lowest + place, 30, atMs, atMs + 100);
    case 'program': {
      const event: MidiEvent = {
        type: 'programChange',
        channel: 0,
        programNumber: place,
        deltaTime: 0,
      };
      return [{ atMs, event }];
    }
    case 'none':
      return [];
  }
}

/** Ragged, and each key louder than the one below. */
function struck({ keys, downMs, beats = beatsPerBar, bar }: DemoChord): Played[] {
  return keys.flatMap((each, index) =>
    note(each, 58 + bar + 7 * index, downMs + 8 * index, downMs + beats * beatMs),
  );
}

function around({ melody = [], pedal }: Bar, bar: number): Played[] {
  const barMs = bar * beatsPerBar * beatMs;
  const pedalMs = barMs + beatMs / 2;
  return [
    ...melody.flatMap(([at, each, beats]) =>
      note(each, 88 + bar, barMs + at * beatMs, barMs + (at + beats) * beatMs),
    ),
    ...(pedal === 'up' || pedal === 'anew' ? [control(64, 0, pedalMs)] : []),
    ...(pedal === 'down' || pedal === 'anew' ? [control(64, 127, pedalMs + 50)] : []),
  ];
}

/** The whole tune as it is played, half a beat before the first bar included. */
export function demoTune(): readonly Played[] {
  return [
    ...bars.flatMap(around),
    ...demoChords.flatMap((chord) => [...switchTo(chord), ...struck(chord)]),
  ].toSorted((one, other) => one.atMs - other.atMs);
}
