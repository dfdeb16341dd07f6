/**
 * What was played over a chart, written into the chart's own bars: the form stays as it is written,
 * repeats and all, and each chord becomes what was played at its place last. A chord between two
 * written ones has no place of its own and is left out.
 */
import { formatSymbol } from '../harmony/symbol/format-symbol.ts';
import { parseSymbol } from '../harmony/symbol/parse-symbol.ts';
import type { Chart, ChartChord } from './chart.ts';
import { chosenText } from './chosen.ts';
import type { Share, WrittenBar, WrittenChord } from './form.ts';

export type PlayedChord = {
  /** As bars are played, and the beat in it: where the chord stands that it was played for. */
  readonly bar: number;
  readonly beat: number;
  /** '' where it has no name. */
  readonly symbol: string;
  /** What stands written there; absent: nobody knows. It tells a chord of another chart. */
  readonly written?: string;
  /** The player's own voicing, MIDI, lowest first; absent: as the preset has it. */
  readonly voicing?: readonly number[];
  /** The preset that begins with it; absent: as before. */
  readonly preset?: string;
};

export type PlayedOver = {
  readonly chart: Chart;
  /** How many written chords were played. */
  readonly chords: number;
  /** Of the form those that were: a bar's place and the chord's among its shares, '3.0'. */
  readonly places: ReadonlySet<string>;
  /**
   * Bars as they are played that stand for one written bar, and were played otherwise before: another
   * chord, or with a voicing of the player's own that is not the one written.
   */
  readonly differing: readonly number[];
};

function placeOf({ written: { bar, share } }: Pick<ChartChord, 'written'>): string {
  return `${bar}.${share}`;
}

/** The written chord, as it was played. */
function asPlayed(chord: WrittenChord, { symbol, voicing, preset }: PlayedChord): WrittenChord {
  const parsed = parseSymbol(symbol);
  const isOther =
    parsed.ok &&
    (chord.symbol === undefined || formatSymbol(parsed.value) !== formatSymbol(chord.symbol));
  const named = isOther && parsed.ok ? { ...chord, text: symbol, symbol: parsed.value } : chord;
  const { preset: written, ...own } = chord.chosen;
  const begins = written ?? preset;
  const change = begins === undefined ? {} : { preset: begins };
  // The very notes say all: a bass, a technique or a top beside them would contradict.
  if (voicing !== undefined) return { ...named, lead: undefined, chosen: { ...change, voicing } };
  // Notes that were chosen for another chord are none of this one.
  const { voicing: exact, ...rest } = own;
  const kept = isOther && typeof exact === 'object' ? rest : own;
  return { ...named, chosen: { ...change, ...kept } };
}

function textOf({ symbol, text, chosen }: WrittenChord): string {
  return `${chosenText(chosen)}${symbol === undefined ? text : formatSymbol(symbol)}`;
}

function sharesText({ shares }: WrittenBar): string {
  return shares
    .map((share) => `${share.beats} ${share.kind === 'chord' ? textOf(share.chord) : share.kind}`)
    .join(' ');
}

function isOf({ written }: PlayedChord, { symbol }: ChartChord): boolean {
  if (written === undefined) return true;
  return written === (symbol === undefined ? '' : formatSymbol(symbol));
}

/** Of each place as it is played, what was played there last. */
type Heard = { readonly place: string; readonly played: PlayedChord };

function heardIn(chart: Chart, played: readonly PlayedChord[]): readonly Heard[] {
  const chords = new Map(chart.chords.map((chord) => [`${chord.bar} ${chord.beat}`, chord]));
  const found = new Map<string, Heard>();
  for (const each of played) {
    const at = `${each.bar} ${each.beat}`;
    const chord = chords.get(at);
    if (chord === undefined || each.symbol === '' || !isOf(each, chord)) continue;
    found.delete(at);
    found.set(at, { place: placeOf(chord), played: each });
  }
  return [...found.values()];
}

/** Both bars of a pair are those before it still. */
function isPairStill(bars: readonly WrittenBar[], at: number): boolean {
  const first = bars[at]?.pairAgain === 'second' ? at - 1 : at;
  return [first, first + 1].every((place) => {
    const [own, before] = [bars[place], bars[place - 2]];
    return own !== undefined && before !== undefined && sharesText(own) === sharesText(before);
  });
}

function isAlike(one: PlayedChord, other: PlayedChord): boolean {
  return one.symbol === other.symbol && `${one.voicing}` === `${other.voicing}`;
}

export function playedOver(chart: Chart, played: readonly PlayedChord[]): PlayedOver {
  const heard = heardIn(chart, played);
  const last = new Map(heard.map((each) => [each.place, each.played]));
  const differing = new Set(
    heard
      .filter(({ place, played: own }) => !isAlike(last.get(place) ?? own, own))
      .map((each) => each.played.bar),
  );
  const written = chart.form.bars.map((bar, at): WrittenBar => {
    const shares = bar.shares.map((share, place): Share => {
      const own = last.get(`${at}.${place}`);
      if (share.kind !== 'chord' || own === undefined) return share;
      return { ...share, chord: asPlayed(share.chord, own) };
    });
    return { ...bar, shares };
  });
  const bars = written.map((bar, at) => {
    const before = written[at - 1];
    const isAgain = bar.isAgain && before !== undefined && sharesText(before) === sharesText(bar);
    return { ...bar, isAgain, pairAgain: isPairStill(written, at) ? bar.pairAgain : undefined };
  });
  const form = { ...chart.form, bars };
  return {
    chart: { ...chart, form },
    chords: last.size,
    places: new Set(last.keys()),
    differing: [...differing],
  };
}
