/**
 * A voiced chart in words: every note with its name and degree, what results, what moved. Notes
 * low → high. As JSON and as lines of text.
 */

import { spokenRule } from '../common/given-up-words.ts';
import { spellInKey } from '../harmony/chord/spelling.ts';
import { formatKey, isSameKey } from '../harmony/key/key.ts';
import { functionName } from '../harmony/key/numeral.ts';
import { formatNote } from '../harmony/pitch/pitch-name.ts';
import { leftOut } from '../voicing/left-out.ts';
import { motionBetween } from '../voicing/motion.ts';
import { degreeAmong, type Names, namesOf } from '../voicing/sounding.ts';
import type { Voicing } from '../voicing/voicing.ts';
import type { Chart } from './chart.ts';
import { chosenText } from './chosen.ts';
import { keyOfBar } from './key-of-bar.ts';
import { leadRemark } from './lead-remark.ts';
import { lostBassOf } from './lost-bass.ts';
import { type OnPage, pageOf } from './page.ts';
import type { Sounding, VoicedChart, VoicedChord } from './voice.ts';

export type ReportedNote = {
  /** MIDI note number, 60 = C4. */
  readonly midi: number;
  readonly name: string;
  readonly degree: string;
  readonly part: 'bass' | 'upper';
};

export type ReportedChord = OnPage & {
  readonly symbol: string;
  readonly bar: number;
  readonly beat: number;
  readonly beats: number;
  /** What it is in the key: 'V7/ii', and in words; '' without a key. */
  readonly numeral: string;
  readonly function: string;
  readonly notes: readonly ReportedNote[];
  readonly sounds: string;
  readonly label: string;
  /** Id of the strategy that was really used; '' for silence. */
  readonly technique: string;
  readonly givenUp: readonly string[];
  /** Degrees the symbol names that do not sound. */
  readonly leftOut: readonly string[];
  /** The bass behind the slash, where it does not lie lowest; absent: nothing is lost. */
  readonly lostBass?: string;
  /** One sentence on a lead that is written and cannot be meant so; absent: nothing. */
  readonly leadRemark?: string;
  /** What the chart chooses for this chord, as written: 'bass=third'; '' for nothing. */
  readonly chosen: string;
};

export type ChartReport = {
  readonly preset: string;
  readonly strategy: string;
  readonly cost: number;
  readonly chords: readonly ReportedChord[];
};

type Key = VoicedChart['setup']['key'];

function notesOf({ voicing, harmony }: Sounding, names: Names): ReportedNote[] {
  return voicing.notes.map((midi, voice) => ({
    midi,
    name: names.voices[voice] ?? '',
    degree: degreeAmong(voicing.notes, midi, harmony),
    part: voice === 0 && voicing.bass !== undefined ? 'bass' : 'upper',
  }));
}

type Page = readonly OnPage[];

function nameIn(note: number, key: Key): string {
  return formatNote(note, spellInKey(note % 12, key));
}

function chordReport(voiced: VoicedChord, key: Key, page: Page): ReportedChord {
  const { chord, sounding } = voiced;
  const { text: symbol, bar, beat, beats } = chord;
  const { numeral, role } = functionName(symbol, key);
  const chosen = chosenText(chord.chosen, (note) => nameIn(note, key)).trim();
  const place = { symbol, bar, beat, beats, numeral, function: role };
  const { writtenBar = 0, section = '' } = page[chord.written.bar] ?? {};
  const onPage = { writtenBar, section, chosen };
  if (sounding === undefined) {
    const label = chord.symbol === undefined ? 'silence' : 'no voicing';
    const none = { notes: [], sounds: '', technique: '', givenUp: [], leftOut: [] };
    return { ...place, ...none, label, ...onPage };
  }
  const { voicing, harmony, root, relaxed } = sounding;
  const names = namesOf(voicing, harmony, key, root);
  const lostBass = lostBassOf(voiced);
  const remark = leadRemark(voiced, key);
  return {
    ...place,
    notes: notesOf(sounding, names),
    sounds: names.symbol,
    label: voicing.label,
    technique: voicing.technique ?? '',
    givenUp: relaxed,
    leftOut: leftOut(voicing, harmony, 'written'),
    ...(lostBass !== '' && { lostBass }),
    ...(remark !== '' && { leadRemark: remark }),
    ...onPage,
  };
}

export function chartReport({ chart, setup, chords, cost }: VoicedChart): ChartReport {
  const page = pageOf(chart);
  return {
    preset: setup.preset.id,
    strategy: setup.preset.strategy,
    cost: Math.round(cost * 100) / 100,
    chords: chords.map((chord) =>
      chordReport(chord, keyOfBar(chart, setup.key, chord.chord.written.bar), page),
    ),
  };
}

function signed(semitones: number): string {
  return semitones > 0 ? `+${semitones}` : `${semitones}`;
}

/** 'top +2, bass -5, 7 semitones in all, 1 held'; the bass is not counted in the sum. */
export function describeMotion(last: Voicing, next: Voicing): string {
  const top = (next.upper.at(-1) ?? 0) - (last.upper.at(-1) ?? 0);
  const held = next.upper.filter((note) => last.upper.includes(note)).length;
  const bass =
    last.bass === undefined || next.bass === undefined
      ? ''
      : `, bass ${signed(next.bass - last.bass)}`;
  const sum = motionBetween(last.upper, next.upper);
  return `top ${signed(top)}${bass}, ${sum} ${sum === 1 ? 'semitone' : 'semitones'} in all, ${held} held`;
}

/** 'not over Bb as written; left out: 7; given up: spacing'; '' where all is there. */
function wantingOf(report: ReportedChord): string {
  const { givenUp, leftOut: absent, lostBass, notes } = report;
  // Which guide tone it is, and which lead, stands before.
  const said = [
    ...(absent.length === 0 ? [] : ['guide tones']),
    ...(report.leadRemark === undefined ? [] : ['lead']),
  ];
  const rules = givenUp.filter((rule) => !said.includes(rule));
  return [
    lostBass === undefined ? '' : `not over ${lostBass} as written`,
    absent.length === 0 ? '' : `left out: ${absent.join(', ')}`,
    rules.length === 0
      ? ''
      : `given up: ${rules.map((rule) => spokenRule(rule, notes)).join(', ')}`,
  ]
    .filter((part) => part !== '')
    .join('; ');
}

/**
 * Two lines a chord: what sounds where, and what it is, in the key and as an arranger says; others
 * for a lead that cannot be meant and for what is wanting.
 */
function chordLines(report: ReportedChord, motion: string, width: number): string[] {
  const notes = report.notes.map(({ name, degree }) => `${name} ${degree}`.padEnd(9)).join('');
  const place = `${report.bar}.${report.beat}`.padEnd(7);
  const indent = ' '.repeat(7 + width);
  const analysis = `${' '.repeat(7)}${report.numeral.padEnd(width)}`;
  const about = [
    report.chosen === '' ? '' : `chosen: ${report.chosen}`,
    report.label,
    report.sounds === '' ? '' : `sounds ${report.sounds}`,
    motion,
  ].filter((part) => part !== '');
  const lines = [
    `${place}${report.symbol.padEnd(width)}${notes}`.trimEnd(),
    `${analysis}${about.join('; ')}`.trimEnd(),
  ];
  const below = [report.leadRemark ?? '', wantingOf(report)].filter((line) => line !== '');
  return [...lines, ...below.map((line) => `${indent}${line}`)];
}

/** '[A]' before the first chord of the bar that a section begins with; the key where it turns. */
export function openingOf({ chart, chords, setup }: VoicedChart, index: number): string[] {
  const [before, here] = [chords[index - 1]?.chord, chords[index]?.chord];
  if (here === undefined || here.bar === before?.bar) return [];
  const section = chart.form.bars[here.written.bar]?.section ?? '';
  const key = keyOfBar(chart, setup.key, here.written.bar);
  const isSame =
    before === undefined || isSameKey(key, keyOfBar(chart, setup.key, before.written.bar));
  return [
    ...(section === '' ? [] : [`[${section}]`]),
    ...(isSame ? [] : [key === undefined ? 'no key' : formatKey(key)]),
  ];
}

/** '4 bars'; where repeats are written once, both counts. */
export function barsOf({ bars, form, pickup }: Chart): string {
  const written = form.bars.length - (pickup > 0 ? 1 : 0);
  if (written === bars) return `${bars} ${bars === 1 ? 'bar' : 'bars'}`;
  return `${bars} bars (${written} on the page)`;
}

/**
 * The whole as text, one line of heading first.
 * @param below lines to stand under a chord; absent: none.
 */
export function formatChart(
  voiced: VoicedChart,
  below: (place: number) => readonly string[] = () => [],
): string {
  const report = chartReport(voiced);
  const { chart } = voiced;
  const longest = report.chords.reduce(
    (most, { symbol, numeral }) => Math.max(most, symbol.length, numeral.length),
    0,
  );
  const width = longest + 2;
  let last: Voicing | undefined;
  const lines = report.chords.flatMap((chord, index) => {
    const opening = openingOf(voiced, index);
    const voicing = voiced.chords[index]?.sounding?.voicing;
    const motion = last === undefined || voicing === undefined ? '' : describeMotion(last, voicing);
    last = voicing ?? last;
    const more = below(index).map((line) => `${' '.repeat(7)}${line}`);
    return [...opening, ...chordLines(chord, motion, width), ...more];
  });
  const { shape } = voiced.setup.preset;
  const way = shape === undefined ? report.strategy : `shape ${shape}`;
  const heading = [
    ...(chart.title === '' ? [] : [chart.title]),
    `${report.preset}: ${way}, ${barsOf(chart)}, cost ${report.cost} (about semitones of motion; lower is smoother and clearer)`,
    '',
  ];
  return `${[...heading, ...lines].join('\n')}\n`;
}
