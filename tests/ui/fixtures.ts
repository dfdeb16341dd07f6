/**
 * Invented material for the screen: a made-up progression in D flat major, voiced by hand in
 * three-part fourths over a bass. Nothing here comes from the engine; the screen only shows it.
 */
import type { PortState } from '../../src/io/engine/stage-state.ts';
import type { ChordReport, NamedNote, Snapshot, SoundingVoice } from '../../src/live/snapshot.ts';
import type { PresetLine, StageModel } from '../../src/ui/stage-model.ts';

const steps: { readonly [letter: string]: number } = { C: 0, D: 2, E: 4, F: 5, G: 7, A: 9, B: 11 };

/** 'Db4' → note 61 (60 = C4). */
export function named(name: string): NamedNote {
  const match = /^([A-G])([b#]*)(-?\d+)$/.exec(name);
  if (!match) throw new Error(`'${name}' is not a note name such as 'Db4'`);
  const [, letter = 'C', signs = '', octave = '4'] = match;
  const shift = [...signs].reduce((sum, sign) => sum + (sign === '#' ? 1 : -1), 0);
  return { name, note: (steps[letter] ?? 0) + shift + 12 * (Number(octave) + 1) };
}

/** 'Db2:1 F3:3 …', lowest first; the first is the bass. */
function voices(text: string): readonly SoundingVoice[] {
  return text.split(' ').map((part, place) => {
    const [name = 'C4', degree = '1'] = part.split(':');
    return { ...named(name), degree, part: place === 0 ? 'bass' : 'upper', velocity: 80 };
  });
}

export function chord(
  heard: string,
  notes: string,
  symbol: string,
  sent: string,
  label: string,
  more: {
    readonly runnerUp?: string;
    readonly relaxed?: readonly string[];
    readonly leftOut?: readonly string[];
  } = {},
): ChordReport {
  return {
    atMicroseconds: 0,
    heard: {
      symbol: heard,
      runnerUp: more.runnerUp ?? '',
      notes: notes.split(' ').map(named),
    },
    sent: {
      voices: voices(sent),
      symbol,
      label,
      relaxed: more.relaxed ?? [],
      ...(more.leftOut !== undefined && { leftOut: more.leftOut }),
    },
    preset: 'fourths-over-third',
  };
}

export const progression: readonly ChordReport[] = [
  chord('Db', 'Db4 F4 Ab4', 'Db6/9', 'Db2:1 F4:3 Bb4:6 Eb5:9', 'three-part fourths over the 3rd'),
  chord(
    'Bbm/Db',
    'Db4 F4 Bb4',
    'Bbm11',
    'Bb2:1 Db4:b3 Ab4:b7 Eb5:11',
    'three-part fourths over the b3',
    {
      runnerUp: 'Db6',
    },
  ),
  chord('Gb', 'Gb4 Bb4 Db5', 'Gbmaj9#11', 'Gb2:1 Bb3:3 F4:7 Ab4:9 C5:#11', 'spread'),
  chord('Ebm', 'Eb4 Gb4 Bb4', 'Ebm9', 'Eb2:1 Gb3:b3 Db4:b7 F4:9', 'drop 2'),
  chord(
    'Ab/C',
    'C4 Eb4 Ab4',
    'Ab9sus4',
    'Ab2:1 Db4:4 Gb4:b7 Bb4:9',
    'hybrid: Gb triad over the root',
  ),
];

export const presets: readonly PresetLine[] = [
  ['close', 'Close position', 'The chord as held, led smoothly: for reading a chart through.'],
  ['drop-2', 'Drop 2', 'Second voice from the top an octave down: open, for ballads.'],
  ['fourths-over-root', 'Fourths over the root', 'Three voices in fourths above the root: bare.'],
  [
    'fourths-over-third',
    'Fourths over the 3rd',
    'Guide tone below, fourths above: warm and modern.',
  ],
  ['hybrid', 'Upper triad, no 3rd', 'A triad with no third of the chord over the root: floating.'],
  ['spread', 'Spread', 'Wide at the bottom, close at the top: for slow, full chords.'],
  ['spread-ninths', 'Spread ninths', 'As spread, with the ninth on top.'],
  ['shells', 'Root and guide tones', 'Root, third and seventh only: room for a soloist.'],
  ['dominant', 'Everything dominant', 'Every major triad takes a minor seventh: blues.'],
].map(([id = '', name = '', about = '']) => ({ id, name, about }));

export function port(
  name: string,
  direction: PortState['direction'],
  more: Partial<PortState> = {},
): PortState {
  return { name, direction, isVirtual: true, isOpen: true, messages: 0, ...more };
}

export function snapshotOf(chords: readonly ChordReport[], more: Partial<Snapshot> = {}): Snapshot {
  const last = chords.at(-1);
  return {
    revision: chords.length,
    preset: 'fourths-over-third',
    key: 'Db major',
    upper: { lowest: 53, highest: 79 },
    bass: { lowest: 36, highest: 50 },
    held: last?.heard.notes ?? [],
    sounding: last?.sent.voices ?? [],
    chords,
    learned: { keys: 3, spreadMicroseconds: 12_000 },
    isChordSounding: last !== undefined,
    ...more,
  };
}

export function modelOf(
  snapshot: Partial<Snapshot> = {},
  more: Partial<StageModel> & {
    readonly ports?: readonly PortState[];
    readonly notice?: string;
  } = {},
): StageModel {
  const { ports, notice, ...rest } = more;
  return {
    state: {
      snapshot: snapshotOf(snapshot.chords ?? progression.slice(0, 2), snapshot),
      ports: ports ?? [port('Handspan in', 'in'), port('Handspan out', 'out')],
      notice: notice ?? '',
    },
    presets,
    mode: 'ports',
    message: '',
    ...rest,
  };
}
