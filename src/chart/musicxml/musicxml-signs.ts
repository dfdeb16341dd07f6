/**
 * The signs of a form in a MusicXML measure: what is printed, and what `sound` says it means.
 * Source: MusicXML 4.0 (W3C Community Group, 2021): barline, ending, repeat, and the attributes
 * dacapo, dalsegno, tocoda, coda, segno, fine and tempo of sound.
 */
import { type BeatNote, parseBeatNote } from '../../midi/beat-note.ts';
import { tokensOf } from '../token.ts';
import { childOf, childrenOf, numberOf, textOf, type XmlElement } from './xml-tree.ts';

export type ReadSigns = {
  section: string;
  isSegno: boolean;
  isCoda: boolean;
  isToCoda: boolean;
  isFine: boolean;
  jump: { readonly to: 'start' | 'segno'; readonly until: 'fine' | 'coda' | undefined } | undefined;
  isRepeatStart: boolean;
  /** 1: no repeat ends here. */
  times: number;
  /** The numbers of the ending that begins here. */
  ending: readonly number[] | undefined;
  isEndingLast: boolean;
  style: string;
  /** Quarter notes a minute. */
  tempo: number | undefined;
  beatNote: BeatNote | undefined;
  readonly cues: { readonly at: number; readonly words: string }[];
  /** What a chart chose for the chord that begins there, as our own scores say it. */
  readonly choices: { readonly at: number; readonly words: string }[];
};

export function noSigns(): ReadSigns {
  // Each property by its name, as in end-bar.ts.
  return {
    section: '',
    isSegno: false,
    isCoda: false,
    isToCoda: false,
    isFine: false,
    jump: undefined,
    isRepeatStart: false,
    times: 1,
    ending: undefined,
    isEndingLast: false,
    style: '',
    tempo: undefined,
    beatNote: undefined,
    cues: [],
    choices: [],
  };
}

/** Where a direction prints a sign and a sound means it, they are one. */
export function readSound({ attributes }: XmlElement, signs: ReadSigns): void {
  const tempo = Number(attributes['tempo'] ?? Number.NaN);
  if (tempo > 0) signs.tempo ??= tempo;
  if (attributes['tocoda'] !== undefined) {
    signs.isToCoda = true;
    signs.isCoda = false;
  }
  if (attributes['segno'] !== undefined) signs.isSegno = true;
  if (attributes['coda'] !== undefined) signs.isCoda = true;
  if (attributes['fine'] !== undefined) signs.isFine = true;
  const until = signs.jump?.until;
  if (attributes['dacapo'] === 'yes') signs.jump = { to: 'start', until };
  if (attributes['dalsegno'] !== undefined) signs.jump = { to: 'segno', until };
}

/** Words that are signs of the form, in the words of charts; true where they are. */
function readFormWords(words: string, signs: ReadSigns): boolean {
  const [token, ...others] = tokensOf(words);
  if (token === undefined || others.length > 0) return false;
  switch (token.kind) {
    case 'jump':
      signs.jump = { to: token.to, until: token.until };
      return true;
    case 'to-coda':
      signs.isToCoda = true;
      return true;
    case 'coda':
      signs.isCoda = true;
      return true;
    case 'segno':
      signs.isSegno = true;
      return true;
    case 'fine':
      signs.isFine = true;
      return true;
    default:
      return false;
  }
}

const longestCue = 80;

export function readDirection(direction: XmlElement, signs: ReadSigns, at: number): void {
  const types = childrenOf(direction, 'direction-type').flatMap(({ children }) => children);
  const has = (name: string) => types.some((type) => type.name === name);
  const words = types
    .filter(({ name }) => name === 'words')
    .map(({ text }) => text)
    .join(' ')
    .replace(/\s+/gu, ' ')
    .trim();
  const other = types.find(({ name }) => name === 'other-direction')?.text.trim() ?? '';
  if (other !== '') signs.choices.push({ at, words: other });
  const section = types.find(({ name }) => name === 'rehearsal')?.text ?? '';
  if (section !== '') signs.section = section;
  if (has('segno')) signs.isSegno = true;
  if (has('coda')) signs.isCoda = true;
  const metronome = types.find(({ name }) => name === 'metronome');
  readMetronome(metronome, signs);
  const isForm = words !== '' && readFormWords(words, signs);
  const sounds = childrenOf(direction, 'sound');
  for (const sound of sounds) readSound(sound, signs);
  const isTempo = metronome !== undefined || sounds.some(({ attributes }) => 'tempo' in attributes);
  const isAbove = direction.attributes['placement'] === 'above';
  if (words !== '' && !isForm && !isTempo && isAbove && words.length <= longestCue) {
    signs.cues.push({ at, words });
  }
}

function readMetronome(metronome: XmlElement | undefined, signs: ReadSigns): void {
  const perMinute = numberOf(metronome, 'per-minute');
  const note = parseBeatNote(textOf(metronome, 'beat-unit'));
  if (perMinute === undefined || note === undefined || signs.beatNote !== undefined) return;
  const dots = childOf(metronome, 'beat-unit-dot') === undefined ? 0 : 1;
  signs.beatNote = { ...note, dots };
  signs.tempo ??= perMinute * (4 / note.unit) * (dots === 1 ? 1.5 : 1);
}

/** '1, 2' and '1-3'. */
function endingNumbers(text: string): readonly number[] {
  const [token] = tokensOf(`[${text.replace(/\s+/gu, '')}.`);
  return token?.kind === 'ending' ? token.numbers : [];
}

export function readBarLine(barLine: XmlElement, signs: ReadSigns): void {
  const isLeft = barLine.attributes['location'] === 'left';
  const repeat = childOf(barLine, 'repeat');
  const ending = childOf(barLine, 'ending');
  if (repeat?.attributes['direction'] === 'forward') signs.isRepeatStart = true;
  if (repeat?.attributes['direction'] === 'backward') {
    signs.times = Math.max(2, Number(repeat.attributes['times'] ?? 2) || 2);
  }
  if (ending?.attributes['type'] === 'start') {
    const numbers = endingNumbers(ending.attributes['number'] ?? '');
    if (numbers.length > 0) signs.ending = numbers;
  } else if (ending !== undefined) {
    signs.isEndingLast = true;
  }
  if (!isLeft) signs.style = textOf(barLine, 'bar-style') || signs.style;
}
