/** The parts of a chart in words: as JSON and as lines of text. Players are in the order of the score. */
import { given } from '../../common/given.ts';
import { counted } from '../../common/words.ts';
import { formatKey } from '../../harmony/key/key.ts';
import { barsOf, type ChartReport, chartReport, openingOf, type ReportedChord } from '../report.ts';
import type { VoicedChart } from '../voice.ts';
import { type PartNote, type PlayerLine, partLines } from './part-lines.ts';
import { bassRemark, partRemarks } from './part-remarks.ts';
import type { ChartParts } from './parts.ts';
import type { PartRemark } from './remark.ts';

export type ReportedPlayer = {
  readonly name: string;
  /** Id of the instrument. */
  readonly instrument: string;
  /** Of the part: 'F major'; '' without a key. */
  readonly key: string;
  /** From written to sounding. */
  readonly transposition: { readonly chromatic: number; readonly diatonic: number };
  /** As it sounds, MIDI note numbers; absent where the player has nothing. */
  readonly lowest?: number;
  readonly highest?: number;
};

export type ReportedPart = {
  readonly player: string;
  /** Empty: a rest. Lowest first. */
  readonly notes: readonly {
    readonly midi: number;
    readonly name: string;
    /** As the part has it. */
    readonly written: string;
    readonly degree: string;
    readonly isDoubling: boolean;
    /** On a string; 0 is open. */
    readonly fret?: number;
  }[];
};

export type PartsReport = Omit<ChartReport, 'chords'> & {
  readonly ensemble: string;
  readonly players: readonly ReportedPlayer[];
  readonly chords: readonly (ReportedChord & { readonly parts: readonly ReportedPart[] })[];
  readonly remarks: readonly { player: string; text: string; help: string }[];
};

export type ToldParts = {
  readonly voiced: VoicedChart;
  readonly parts: ChartParts;
  readonly lines: readonly PlayerLine[];
  readonly remarks: readonly PartRemark[];
};

/** @param isBassLeft nobody in the ensemble has the bass that the preset has. */
export function toldParts(voiced: VoicedChart, parts: ChartParts, isBassLeft: boolean): ToldParts {
  const lines = partLines(voiced, parts);
  const bass = isBassLeft ? [bassRemark] : [];
  return { voiced, parts, lines, remarks: [...bass, ...partRemarks(voiced, parts, lines)] };
}

function playerOf({ player, writing, chords }: PlayerLine): ReportedPlayer {
  const notes = chords.flat().map(({ note }) => note);
  const { key, transposition } = writing;
  return {
    name: player.name,
    instrument: player.instrument.id,
    key: key === undefined ? '' : formatKey(key),
    transposition,
    ...(notes.length > 0 && { lowest: Math.min(...notes), highest: Math.max(...notes) }),
  };
}

function partOf({ player, chords }: PlayerLine, place: number): ReportedPart {
  const notes = (chords[place] ?? []).map(({ note, name, written, degree, isDoubling, fret }) => ({
    ...{ midi: note, name, written: written.name, degree, isDoubling, ...given('fret', fret) },
  }));
  return { player: player.name, notes };
}

export function partsReport({ voiced, parts, lines, remarks }: ToldParts): PartsReport {
  const { chords, ...report } = chartReport(voiced);
  return {
    ...report,
    ensemble: parts.ensemble.name,
    players: lines.map(playerOf),
    chords: chords.map((chord, place) => ({
      ...chord,
      parts: lines.map((line) => partOf(line, place)),
    })),
    remarks: remarks.map(({ player, text, help }) => ({ player, text, help })),
  };
}

/** 'Bb3 Eb4 D5, frets 8-8-x-10': every string from the lowest up, one that is silent crossed out. */
function stringsCell(notes: readonly PartNote[], strings: readonly number[]): string {
  const frets = strings.map((part) => notes.find((note) => note.part === part)?.fret ?? 'x');
  return `${notes.map(({ name }) => name).join(' ')}, frets ${frets.join('-')}`;
}

/** 'G4 3', '(G3 3)' where it doubles, '-' for a rest. @param strings parts of a player of several. */
function cell(notes: readonly PartNote[], strings: readonly number[]): string {
  if (notes.length === 0) return '-';
  if (strings.length > 1) return stringsCell(notes, strings);
  return notes
    .map(({ name, degree, isDoubling }) =>
      isDoubling ? `(${name} ${degree})` : `${name} ${degree}`,
    )
    .join('');
}

function writtenRange({ writing, chords }: PlayerLine): string {
  const all = chords.flat();
  const [first] = all;
  if (first === undefined) return 'nothing to play';
  const far = (isHigher: boolean) =>
    all.reduce((most, each) => (each.note > most.note === isHigher ? each : most), first);
  const key = writing.key === undefined ? '' : `in ${formatKey(writing.key)}, `;
  return `${key}${far(false).written.name} to ${far(true).written.name}`;
}

function sentenceOf({ text, help }: PartRemark): string {
  return help === '' ? `${text}.` : `${text}; ${help}.`;
}

/** What the instruments and remarks are, under the table. */
function below({ lines, remarks }: ToldParts): readonly string[] {
  const width = Math.max(...lines.map(({ player }) => player.name.length));
  return [
    '',
    'Parts as written',
    ...lines.map((line) => `  ${line.player.name.padEnd(width)}  ${writtenRange(line)}`),
    ...(remarks.length === 0 ? [] : ['', ...remarks.map(sentenceOf)]),
  ];
}

/** One line a chord, what sounds in a column for each player; then the parts, and what to know. */
export function formatParts(told: ToldParts): string {
  const { voiced, parts, lines } = told;
  const { chart, chords } = voiced;
  const report = chartReport(voiced);
  const columns = lines.map(({ player, chords: own }, at) => {
    const strings = parts.ensemble.parts.flatMap((part, place) =>
      part.player === at ? [place] : [],
    );
    const cells = own.map((notes) => cell(notes, strings));
    const width = Math.max(player.name.length, ...cells.map(({ length }) => length)) + 2;
    return { name: player.name, cells, width };
  });
  const symbols = Math.max(...chords.map(({ chord }) => chord.text.length), 0) + 2;
  const rows = chords.flatMap(({ chord }, place) => [
    ...openingOf(voiced, place),
    [
      `${chord.bar}.${chord.beat}`.padEnd(7),
      chord.text.padEnd(symbols),
      ...columns.map(({ cells, width }) => (cells[place] ?? '').padEnd(width)),
    ]
      .join('')
      .trimEnd(),
  ]);
  const players = counted(lines.length, 'player');
  const heading = [
    ...(chart.title === '' ? [] : [chart.title]),
    `${report.preset}: ${report.strategy} for ${parts.ensemble.name} (${players}), ${barsOf(chart)}, as it sounds`,
    '',
    `${' '.repeat(7 + symbols)}${columns.map(({ name, width }) => name.padEnd(width)).join('')}`.trimEnd(),
  ];
  return `${[...heading, ...rows, ...below(told)].join('\n')}\n`;
}
