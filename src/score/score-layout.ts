/**
 * What stands in which bar of a score and where its lines begin, found in one walk over the music,
 * so that a bar of a long score costs no more than one of a short.
 */
import { isLabelNew, labelWidth, labelWidths } from './engraved-label.ts';
import { type Bar, barsOf, type Progression, type ProgressionChord } from './progression.ts';
import { type StaffVoice, type Stretch, voicesOf } from './staff-voices.ts';

export type LaidBar = {
  readonly bar: Bar;
  /** What sounds in it of each voice of the layout. */
  readonly voices: readonly (readonly Stretch[])[];
  /** The chords that begin in it. */
  readonly chords: readonly ProgressionChord[];
  /** The last chord that begins before it. */
  readonly before: ProgressionChord | undefined;
  readonly isNewLine: boolean;
};

export type ScoreLayout = {
  readonly progression: Progression;
  readonly voices: readonly StaffVoice[];
  readonly bars: readonly LaidBar[];
  /** Of the treatments below, broken into the same lines. */
  readonly below: readonly ScoreLayout[];
};

export function layOut(progression: Progression): ScoreLayout {
  const { below = [], ...own } = progression;
  if (below.length === 0) return layOutAlone(own, lineBreaks(barsOf(own), [own]));
  const top = withLettersBelow(own, below);
  const breaks = lineBreaks(barsOf(own), [top, ...below]);
  const others = below.map((each) => layOutAlone(withoutSymbols(each), breaks));
  return { ...layOutAlone(top, breaks), below: others };
}

function withoutSymbols(progression: Progression): Progression {
  return {
    ...progression,
    chords: progression.chords.map((chord) => ({ ...chord, isSameSymbol: true })),
  };
}

/** The symbols of the first treatment keep apart what stands below the others. */
function withLettersBelow(progression: Progression, below: readonly Progression[]): Progression {
  const widest = new Map<number, number>();
  for (const { chords } of below) {
    let before: ProgressionChord | undefined;
    for (const chord of chords) {
      const label = isLabelNew(chord, before) ? labelWidth(chord.label) : 0;
      const most = Math.max(label, chord.sounds.length, widest.get(chord.tick) ?? 0);
      widest.set(chord.tick, most);
      before = chord;
    }
  }
  return {
    ...progression,
    chords: progression.chords.map((chord) => ({
      ...chord,
      lettersBelow: widest.get(chord.tick) ?? 0,
    })),
  };
}

function layOutAlone(progression: Progression, breaks: ReadonlySet<number>): ScoreLayout {
  const bars = barsOf(progression);
  const voices = voicesOf(progression);
  const chordsIn = cut(bars, progression.chords, ({ tick }) => tick + 1);
  const stretchesIn = voices.map(({ stretches }) =>
    cut(bars, stretches, ({ tick, length }) => tick + length),
  );
  let before: ProgressionChord | undefined;
  const laid = bars.map((bar, place): LaidBar => {
    const chords = chordsIn[place] ?? [];
    const own = {
      bar,
      voices: stretchesIn.map((all) => all[place] ?? []),
      chords,
      before,
      isNewLine: breaks.has(place),
    };
    before = chords.at(-1) ?? before;
    return own;
  });
  return { progression, voices, bars: laid, below: [] };
}

/**
 * For each bar what lies in it, or reaches into it.
 * @param spans in order, each ending no later than the next one.
 */
function cut<T extends { readonly tick: number }>(
  bars: readonly Bar[],
  spans: readonly T[],
  endOf: (span: T) => number,
): readonly (readonly T[])[] {
  let from = 0;
  return bars.map(({ tick, length }) => {
    for (let span = spans[from]; span !== undefined && endOf(span) <= tick; span = spans[from]) {
      from += 1;
    }
    let to = from;
    while ((spans[to]?.tick ?? Number.POSITIVE_INFINITY) < tick + length) to += 1;
    return spans.slice(from, to);
  });
}

/** Bars of a section at the most; a few more until the line is full. */
export const barsInSection = 240;

/** From the first bar to behind the last. */
export type Section = { readonly from: number; readonly to: number };

/**
 * A long score in sections of whole lines, none of which ties into the next where that can be had.
 * Short of `most` bars there is one.
 */
export function sectionsOf(
  { bars, voices }: ScoreLayout,
  most = barsInSection,
): readonly Section[] {
  const isTiedInto = (place: number) => {
    const { bar, voices: inBar } = bars[place] ?? {};
    return voices.some((_, voice) =>
      inBar?.[voice]?.some(({ tick }) => bar !== undefined && tick < bar.tick),
    );
  };
  const sections: Section[] = [];
  let from = 0;
  let best: number | undefined;
  bars.forEach(({ isNewLine }, place) => {
    if (!isNewLine) return;
    if (place - from >= most / 2 && !isTiedInto(place)) best = place;
    if (place - from < most) return;
    const to = best ?? place;
    sections.push({ from, to });
    from = to;
    best = undefined;
  });
  return [...sections, { from, to: bars.length }];
}

/** Chords that stand beside each other without crowding. Common practice, no source. */
const chordsOnLine = 8;
/** Of a player's part, which has no symbols: notes. Likewise. */
const notesOnLine = 16;
/** Letters of chord symbols or of labels below, and the gaps behind them that a line has room for: seen, no source. */
const lettersOnLine = 96;
const gap = 2;

/** For each bar where the next section begins, which begins a line; else the end. */
function sectionEnds(count: number, signs: Progression['signs']): readonly number[] {
  const ends: number[] = new Array(count).fill(count);
  let end = count;
  for (let place = count - 1; place >= 0; place -= 1) {
    ends[place] = end;
    if ((signs?.[place]?.section ?? '') !== '') end = place;
  }
  return ends;
}

/** Bars of a line, of those that are left; a bar is not left alone where it fits before. */
function barsOnLine(left: number, fits: (count: number) => boolean): number {
  const most = [4, 2].find((count) => count <= left && fits(count)) ?? 1;
  if (left - most !== 1) return Math.min(most, left);
  if (fits(most + 1)) return most + 1;
  return most > 2 ? most - 1 : most;
}

/** Of each bar how many chords begin in it, and the letters they need beside each other. */
function crowding(
  bars: readonly Bar[],
  { chords, manner }: Progression,
): readonly { readonly chords: number; readonly letters: number }[] {
  const isBoth = manner?.symbols === 'both';
  const written = ({ sounds, symbol }: ProgressionChord) =>
    isBoth ? Math.max(sounds.length, symbol.length) : (sounds || symbol).length;
  let before: ProgressionChord | undefined;
  return cut(bars, chords, ({ tick }) => tick + 1).map((own) => {
    const widths = labelWidths(own, before);
    before = own.at(-1) ?? before;
    const letters = own.reduce(
      (sum, chord, place) => sum + Math.max(written(chord), widths[place] ?? 0) + gap,
      0,
    );
    return { chords: own.length, letters };
  });
}

/**
 * Lines of four bars, as players read a tune; of two or one where the chords are many.
 * @param treatments of the same bars, which are broken alike.
 */
function lineBreaks(bars: readonly Bar[], treatments: readonly Progression[]): ReadonlySet<number> {
  const ends = sectionEnds(bars.length, treatments[0]?.signs);
  const first = bars[0]?.number === 0 ? 1 : 0;
  const crowds = treatments.map((each) => crowding(bars, each));
  const isPart = treatments[0]?.player?.isAlone === true;
  const most = isPart ? notesOnLine : chordsOnLine;
  // Bars of a line are about as wide as each other: the fullest one decides.
  const fits = (start: number, count: number) =>
    crowds.every((crowd) =>
      crowd
        .slice(start, start + count)
        .every(
          ({ chords, letters }, _, some) =>
            chords * some.length <= most && letters * some.length <= lettersOnLine,
        ),
    );
  const breaks = new Set<number>();
  for (let start = first; start < bars.length; ) {
    if (start > first) breaks.add(start);
    const left = (ends[start] ?? bars.length) - start;
    start += barsOnLine(left, (count) => fits(start, count));
  }
  return breaks;
}
