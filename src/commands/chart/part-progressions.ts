/** The parts of a chart as progressions for scores: all together at concert pitch, or one by one. */
import type { PartNote, PlayerLine } from '../../chart/parts/part-lines.ts';
import type { ToldParts } from '../../chart/parts/part-report.ts';
import type { ClefName } from '../../ensemble/instruments.ts';
import { type Writing, writingOf } from '../../ensemble/written.ts';
import {
  fifthsOf,
  type SpelledPitchClass,
  spelledAtFifths,
} from '../../harmony/pitch/pitch-name.ts';
import { formatSymbol } from '../../harmony/symbol/format-symbol.ts';
import { parseSymbol } from '../../harmony/symbol/parse-symbol.ts';
import type { PartClef, PartNotes, PlayerPart } from '../../score/player-part.ts';
import type { Progression, ProgressionChord } from '../../score/progression.ts';
import { type ChartPage, pageOfChart } from './chart-progression.ts';

const clefs: Readonly<Record<ClefName, PartClef>> = {
  treble: { sign: 'G', line: 2, octave: 0 },
  'treble-8vb': { sign: 'G', line: 2, octave: -1 },
  alto: { sign: 'C', line: 3, octave: 0 },
  bass: { sign: 'F', line: 4, octave: 0 },
};

/** What sounds C where C is written, as players call it: 'in B♭', 'in F'; '' at concert pitch. */
function pitchOf({ transposition }: Writing): string {
  const sounding = ((transposition.chromatic % 12) + 12) % 12;
  const names = ['', 'D♭', 'D', 'E♭', 'E', 'F', 'G♭', 'G', 'A♭', 'A', 'B♭', 'B'];
  const name = names[sounding] ?? '';
  return name === '' ? '' : ` in ${name}`;
}

function notesOf(
  page: ChartPage,
  { chords }: PlayerLine,
  nameOf: (note: PartNote) => string,
): readonly PartNotes[] {
  return page.chords.flatMap(({ tick, length, chord }): PartNotes[] => {
    const own = chords[chord] ?? [];
    return own.length === 0 ? [] : [{ tick, length, names: own.map(nameOf) }];
  });
}

const bare = { label: '', sounds: '', chosen: '' } as const;

/** The part's own keys, wherever the page turns to another. */
function keysOf(
  { key, keys }: ChartPage,
  { player }: PlayerLine,
  at: 'concert' | 'transposed',
): Pick<Progression, 'key' | 'keys'> {
  const own = (concert: Progression['key']) => writingOf(player.instrument, concert, at).key;
  const turned = keys?.map(({ tick, key: concert }) => ({ tick, key: own(concert) }));
  return { key: own(key), ...(turned !== undefined && { keys: turned }) };
}

/** Chords keep their place in the music, and nothing of them is printed. */
function unprinted({ tick, length, notes }: ProgressionChord): ProgressionChord {
  return { tick, length, notes, symbol: '', sounds: '', label: '', isSameSymbol: true };
}

function partOf(
  line: PlayerLine,
  writing: Writing,
  { heading, isAlone }: Pick<PlayerPart, 'heading' | 'isAlone'>,
  notes: readonly PartNotes[],
): PlayerPart {
  const { name, abbreviation, instrument } = line.player;
  const { family, sound, program } = instrument;
  const { transposition } = writing;
  return {
    ...{ name, abbreviation, heading, isAlone, family, sound, program, transposition, notes },
    clef: clefs[writing.clef],
  };
}

/** The symbol as it is written over a transposed staff; what is no symbol stays. */
function shiftedSymbol(text: string, steps: number): string {
  const parsed = parseSymbol(text);
  if (!parsed.ok || steps === 0) return text;
  const shift = (name: SpelledPitchClass) => spelledAtFifths(fifthsOf(name) + steps);
  const { root, bass, lower } = parsed.value;
  return formatSymbol({
    ...parsed.value,
    root: shift(root),
    ...(bass !== undefined && { bass: shift(bass) }),
    ...(lower !== undefined && { lower: { ...lower, root: shift(lower.root) } }),
  });
}

function withSymbol({ chord: _, ...chord }: ChartPage['chords'][number], { fifths }: Writing) {
  return { ...chord, ...bare, symbol: shiftedSymbol(chord.symbol, fifths) };
}

/** One below the other, the symbols as written over the first. */
export function scoreOfParts(
  { voiced, lines }: ToldParts,
  at: 'concert' | 'transposed',
): Progression {
  const page = pageOfChart(voiced);
  const staves = lines.map((line, place): Progression => {
    const isConcert = at === 'concert';
    const writing = writingOf(line.player.instrument, page.key, at);
    const nameOf = ({ inScore, written }: PartNote) => (isConcert ? inScore : written).name;
    const notes = notesOf(page, line, nameOf);
    const chords = page.chords.map((chord) =>
      place > 0 ? unprinted(chord) : withSymbol(chord, writing),
    );
    const manner = { symbols: 'written' as const, hasNumerals: false };
    const heading = isConcert ? 'Concert pitch' : 'Transposed';
    const player = partOf(line, writing, { heading, isAlone: false }, notes);
    return { ...page, ...keysOf(page, line, at), chords, manner, player };
  });
  const [first = page, ...below] = staves;
  return below.length === 0 ? first : { ...first, below };
}

/** A part by itself, transposed, with its name at its head; symbols only where they are asked for. */
export function partByItself(
  { voiced }: ToldParts,
  line: PlayerLine,
  hasSymbols = false,
): Progression {
  const page = pageOfChart(voiced);
  const { writing, player } = line;
  const notes = notesOf(page, line, ({ written }) => written.name);
  const heading = `${player.name}${pitchOf(writing)}`;
  return {
    ...page,
    ...keysOf(page, line, 'transposed'),
    chords: page.chords.map((chord) =>
      hasSymbols ? withSymbol(chord, writing) : unprinted(chord),
    ),
    manner: { symbols: 'written', hasNumerals: false },
    player: partOf(line, writing, { heading, isAlone: true }, notes),
  };
}
