/**
 * What is chosen for one chord of a chart, in words before it: 'bass=third technique=drop-2 Cm7'.
 * A preset holds from its chord on, in the order of the page; the rest is for that chord alone.
 */
import type { Result } from '../common/result.ts';
import { spellInKey } from '../harmony/chord/spelling.ts';
import { formatNote, parseWrittenNote } from '../harmony/pitch/pitch-name.ts';
import { type ChosenForChord, chosenBasses } from '../presets/chosen.ts';
import { adviseNearest } from '../presets/nearest.ts';
import { strategyIds } from '../voicing/voicing.ts';

export type Chosen = ChosenForChord & {
  /** From here on; its id or its name. */
  readonly preset?: string;
};

type Read = Result<Chosen>;

const names = ['voicing', 'bass', 'technique', 'preset'] as const;
type Name = (typeof names)[number];

const mostVoicings = 9999;
const voicingForms =
  "a number such as voicing=2, or notes from the lowest up, 'voicing=C3,Bb3,D4,G4'";

function readNotes(value: string): Read {
  const notes = value.split(',').map((name) => parseWrittenNote(name)?.midi ?? -1);
  const wrong = value.split(',')[notes.findIndex((note) => note < 0 || note > 127)];
  if (wrong !== undefined) {
    return {
      ok: false,
      problem: `'voicing=${value}': '${wrong}' is no note; give ${voicingForms}.`,
    };
  }
  const isAscending = notes.every((note, place) => place === 0 || note > (notes[place - 1] ?? 0));
  if (notes.length > 1 && isAscending) return { ok: true, value: { voicing: notes } };
  const problem =
    notes.length < 2
      ? `'voicing=${value}' is a single note; give ${voicingForms}.`
      : `'voicing=${value}' does not run upwards; write its notes from the lowest to the highest, none twice.`;
  return { ok: false, problem };
}

function readVoicing(value: string): Read {
  if (!/^\d+$/u.test(value)) return readNotes(value);
  const number = Number(value);
  return number >= 1 && number <= mostVoicings
    ? { ok: true, value: { voicing: number } }
    : {
        ok: false,
        problem: `'voicing=${value}': voicings are counted from 1; give ${voicingForms}.`,
      };
}

/** One of a list of words. */
function readWord<T extends string>(name: Name, value: string, words: readonly T[]): Result<T> {
  const word = words.find((each) => each === value.toLowerCase());
  if (word !== undefined) return { ok: true, value: word };
  const advice = adviseNearest(value, words);
  return {
    ok: false,
    problem: `There is no ${name} '${value}'${advice}; there are ${words.join(', ')}.`,
  };
}

const readers: { readonly [N in Name]: (value: string) => Read } = {
  voicing: readVoicing,
  bass(value) {
    const read = readWord('bass', value, chosenBasses);
    return read.ok ? { ok: true, value: { bass: read.value } } : read;
  },
  technique(value) {
    const read = readWord('technique', value, strategyIds);
    return read.ok ? { ok: true, value: { technique: read.value } } : read;
  },
  preset: (preset) => ({ ok: true, value: { preset } }),
};

/** One word 'name=value', its value with or without quotes; else one sentence. */
export function readChoice(text: string): Read {
  const [, word = '', quoted = ''] = /^([^=]*)=(.*)$/u.exec(text) ?? [];
  const name = names.find((each) => each === word.toLowerCase());
  if (name === undefined) {
    const advice = adviseNearest(word, names);
    const problem = `'${word}=' is nothing to choose${advice}; there are ${names.join('=, ')}=.`;
    return { ok: false, problem };
  }
  const value = quoted.replace(/^"(.*)"$/u, '$1').trim();
  if (value === '') return { ok: false, problem: `'${name}=' has nothing after it.` };
  return readers[name](value);
}

/** What two choices for one chord contradict each other in; '' for nothing. A whole sentence. */
export function contradiction(
  { voicing, bass, technique }: Chosen,
  { symbol, lead }: { readonly symbol: string; readonly lead: number | undefined },
  isBassWritten: boolean,
): string {
  if (bass !== undefined && bass !== 'written' && isBassWritten) {
    return `'${symbol}' has its bass after the slash; take that or 'bass=${bass}' out.`;
  }
  if (typeof voicing !== 'object') return '';
  const other = bass === undefined ? (technique === undefined ? '' : 'technique=') : 'bass=';
  if (other !== '') return `The notes after 'voicing=' say all; take '${other}' out.`;
  const top = voicing.at(-1) ?? 0;
  return lead === undefined || lead === top
    ? ''
    : `The voicing of '${symbol}' has its top on another note than '@' asks for; take one of them out.`;
}

function plainName(note: number): string {
  return formatNote(note, spellInKey(note % 12, undefined));
}

function notesText(notes: readonly number[], nameOf: (note: number) => string): string {
  return notes.map(nameOf).join(',');
}

/** The words before the chord, a blank behind each; '' for nothing chosen. */
export function chosenText(
  { voicing, bass, technique, preset }: Chosen,
  nameOf: (note: number) => string = plainName,
): string {
  const words: readonly (readonly [Name, string | undefined])[] = [
    ['preset', preset !== undefined && /[\s|%{}]/u.test(preset) ? `"${preset}"` : preset],
    ['technique', technique],
    ['bass', bass],
    ['voicing', typeof voicing === 'object' ? notesText(voicing, nameOf) : voicing?.toString()],
  ];
  return words
    .flatMap(([name, value]) => (value === undefined ? [] : `${name}=${value} `))
    .join('');
}
