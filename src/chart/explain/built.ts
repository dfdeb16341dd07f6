/**
 * How a voicing is built, in a sentence that is made of its notes. What the notes do not bear out is
 * not said: then they are named as they stand.
 */
import { dropOf, spanOf, stepsOf, triadOf } from '../../harmony/naming/shape.ts';
import type { StrategyId, Voicing } from '../../voicing/voicing.ts';
import { listed, octaveUp, spokenTone, stepsInWords, type ToldNote, withDegrees } from './words.ts';

export type ToldVoicing = {
  readonly voicing: Voicing;
  /** Of each voice, lowest → highest. */
  readonly notes: readonly ToldNote[];
  /** The symbol of what sounds. */
  readonly sounds: string;
};

type Parts = {
  readonly upper: readonly ToldNote[];
  readonly midi: readonly number[];
  readonly sounds: string;
  readonly label: string;
};

const octave = 12;

function plain({ upper }: Parts): string {
  return `${withDegrees(upper)}, from the lowest up`;
}

function close(parts: Parts): string {
  const { upper, midi } = parts;
  if (spanOf(midi) > octave) return plain(parts);
  return `Close position: ${withDegrees(upper)} within one octave`;
}

function open(parts: Parts): string {
  const { upper, midi } = parts;
  if (spanOf(midi) <= octave) return plain(parts);
  return `Open position: ${withDegrees(upper)}, ${spanOf(midi)} semitones from end to end where close position has no more than twelve`;
}

const drops = {
  'drop-2': { name: 'Drop 2', count: 1, tells: 'second voice from the top sounds' },
  'drop-3': { name: 'Drop 3', count: 1, tells: 'third voice from the top sounds' },
  'drop-2-4': {
    name: 'Drop 2 and 4',
    count: 2,
    tells: 'second and the fourth voice from the top sound',
  },
} as const;

/** The close position is had again by taking what was dropped, the lowest voices, an octave up. */
function drop(id: keyof typeof drops): (parts: Parts) => string {
  const { name, count, tells } = drops[id];
  return (parts) => {
    const { upper, midi } = parts;
    if (dropOf(midi) !== id) return plain(parts);
    const closed = upper
      .map((note, place) =>
        place < count
          ? { name: octaveUp(note.name), midi: (midi[place] ?? 0) + octave }
          : { name: note.name, midi: midi[place] ?? 0 },
      )
      .sort((one, other) => one.midi - other.midi);
    const from = listed(closed.map((each) => each.name));
    return `${name}: of the close position ${from} the ${tells} an octave lower, which gives ${withDegrees(upper)}`;
  };
}

function stacked(name: string, names?: Readonly<Record<number, string>>): (parts: Parts) => string {
  return ({ upper, midi }) =>
    `${name}: ${withDegrees(upper)}, ${stepsInWords(stepsOf(midi), names)} apart`;
}

/** Of a hybrid the upper chord has its own name before the slash; else a triad is told as one. */
function hybrid(parts: Parts): string {
  const { upper, midi, sounds, label } = parts;
  const kind = label.startsWith('hybrid') ? 'Hybrid' : 'Slash chord';
  const [above = '', bass] = sounds.split('/');
  const triad = triadName(upper, midi);
  const isOverRoot = kind === 'Hybrid' && label.endsWith('over the root');
  if (isOverRoot && bass !== undefined)
    return `Hybrid: the upper chord ${above}, ${withDegrees(upper)}`;
  return `${kind}: ${triad === '' ? '' : `the ${triad} `}${withDegrees(upper)}`;
}

function triadName(notes: readonly ToldNote[], midi: readonly number[]): string {
  const triad = triadOf(midi);
  const place = triad === undefined ? -1 : midi.findIndex((note) => note % 12 === triad.root);
  const root = notes[place]?.name.replace(/-?\d+$/u, '');
  return triad === undefined || root === undefined ? '' : `${root} ${triad.type.name}`;
}

function triadAbove(name: string): (parts: Parts) => string {
  return (parts) => {
    const { upper, midi } = parts;
    const [low, high] = [upper.slice(0, -3), upper.slice(-3)];
    const triad = triadName(high, midi.slice(-3));
    if (triad === '' || low.length === 0) return plain(parts);
    return `${name}: the ${triad} ${withDegrees(high)} above ${withDegrees(low)}`;
  };
}

function block(parts: Parts): string {
  const { upper, midi } = parts;
  const lead = upper.at(-1);
  const double = midi.indexOf((midi.at(-1) ?? 0) - octave);
  const doubled = upper[double];
  if (lead === undefined || doubled === undefined) return plain(parts);
  const others = upper.filter((_, place) => place !== double);
  return `Block: ${withDegrees(others)} with the lead ${lead.name} doubled an octave below as ${doubled.name}`;
}

function rootless(parts: Parts): string {
  const { upper, label } = parts;
  if (upper.some(({ degree }) => degree === '1')) return close(parts);
  const form = /[AB] form/u.exec(label)?.[0];
  const from = upper[0] === undefined ? '' : ` from ${spokenTone(upper[0].degree)} up`;
  return `Rootless${form === undefined ? '' : `, ${form}`}: ${withDegrees(upper)}${from}, without the root`;
}

function spread({ upper, midi }: Parts): string {
  const steps = stepsOf(midi);
  const isNarrowing =
    steps.length > 1 && steps.every((step, place) => step <= (steps[place - 1] ?? step));
  return `Spread: ${withDegrees(upper)}${isNarrowing ? ', wide below and closer above' : ''}`;
}

/** Of a stack of few tones the bass is a part. */
const withBassInside: readonly (StrategyId | undefined)[] = ['shell'];

const sentences: { readonly [S in StrategyId]: (parts: Parts) => string } = {
  close,
  open,
  'drop-2': drop('drop-2'),
  'drop-3': drop('drop-3'),
  'drop-2-4': drop('drop-2-4'),
  shell: ({ upper }) => `Shell: ${withDegrees(upper)} and nothing else`,
  rootless,
  spread,
  fourths: stacked('Fourths'),
  'fourths-and-third': stacked('Three fourths and a third'),
  fifths: stacked('Fifths', { 6: 'diminished fifth', 8: 'augmented fifth' }),
  hybrid,
  'upper-structure': triadAbove('Upper structure'),
  polychord: triadAbove('Polychord'),
  cluster: stacked('Cluster'),
  block,
};

/** One sentence. */
export function builtSentence({ voicing, notes, sounds }: ToldVoicing): string {
  const { bass, upper, technique, label } = voicing;
  const hasBass = bass !== undefined && !withBassInside.includes(technique);
  const parts: Parts = {
    upper: hasBass ? notes.slice(1) : notes,
    midi: hasBass ? upper : voicing.notes,
    sounds,
    label,
  };
  const tell = technique === undefined ? plain : sentences[technique];
  const [low] = notes;
  const below = hasBass && low !== undefined ? `, over ${low.name}, ${spokenTone(low.degree)}` : '';
  return `${tell(parts)}${below}.`;
}
