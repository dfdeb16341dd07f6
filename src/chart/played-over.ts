/**
 * What was played over a chart, written into the chart's own bars: the form stays as it is written,
 * repeats and all, and each chord becomes what was played at its place last. A chord between two
 * written ones has no place of its own and is left out.
 */
import { given } from '../common/given.ts';
import { formatSymbol } from '../harmony/symbol/format-symbol.ts';
import { parseSymbol } from '../harmony/symbol/parse-symbol.ts';
import type { Chart, ChartChord } from './chart.ts';
import { chosenText } from './chosen.ts';
import type { Share, WrittenBar, WrittenChord } from './form.ts';
import { presetNames } from './prepare.ts';

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
  /** The preset it was played in; absent: nobody knows. */
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
  /** Such bars that were played in a preset of the player's that is not the one written. */
  readonly otherwiseSet: readonly number[];
};

function placeOf({ written: { bar, share } }: Pick<ChartChord, 'written'>): string {
  return `${bar}.${share}`;
}

/** The written chord, as it was played. `preset`: that begins there. */
function asPlayed(
  chord: WrittenChord,
  { symbol, voicing }: PlayedChord,
  preset: string | undefined,
): WrittenChord {
  const parsed = parseSymbol(symbol);
  const isOther =
    parsed.ok &&
    (chord.symbol === undefined || formatSymbol(parsed.value) !== formatSymbol(chord.symbol));
  const named = isOther && parsed.ok ? { ...chord, text: symbol, symbol: parsed.value } : chord;
  const { preset: written, ...own } = chord.chosen;
  const change = given('preset', preset ?? written);
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

/** @param hasPresets false: without the presets that begin in it. */
function sharesText({ shares }: WrittenBar, hasPresets = true): string {
  const ofChord = (chord: WrittenChord): string => {
    const { preset: _, ...chosen } = chord.chosen;
    return textOf(hasPresets ? chord : { ...chord, chosen });
  };
  return shares
    .map((share) => `${share.beats} ${share.kind === 'chord' ? ofChord(share.chord) : share.kind}`)
    .join(' ');
}

/** A bar with the same in it; a preset that begins in the first holds on in the other. */
function isStill(bar: WrittenBar | undefined, before: WrittenBar | undefined): boolean {
  if (bar === undefined || before === undefined) return false;
  const own = sharesText(bar);
  const isPlain = own === sharesText(bar, false);
  return own === sharesText(before, !isPlain);
}

function isOf({ written }: PlayedChord, { symbol }: ChartChord): boolean {
  if (written === undefined) return true;
  return written === (symbol === undefined ? '' : formatSymbol(symbol));
}

/** Of each place as it is played, what was played there last. */
type Heard = {
  readonly place: string;
  readonly played: PlayedChord;
  /** The preset that the player had turned to by then; undefined: the one of the chart. */
  readonly ownPreset: string | undefined;
};

type ChartPresets = {
  /** The one that is played in at first. */
  readonly base: string | undefined;
  readonly nameFor: ReturnType<typeof presetNames>;
};

/**
 * The player's own switches, chord by chord: each holds until the chart writes a preset, as on the
 * stage. The one that is played in at first is the chart's where it names none.
 */
function createSwitches({
  base,
  nameFor,
}: ChartPresets): (chord: ChartChord, preset: string | undefined) => string | undefined {
  let before = base;
  let own: string | undefined;
  return (chord, preset = before) => {
    const isOwn = preset !== before && chord.chosen.preset === undefined;
    if (isOwn) own = preset === base && nameFor(chord) === '' ? undefined : preset;
    if (chord.chosen.preset !== undefined) own = undefined;
    before = preset;
    return own;
  };
}

/**
 * Of the places that were played, the preset that begins there, in the order of the page: the
 * player's, or again the chart's own behind it.
 */
function presetsToWrite(
  chart: Chart,
  { base, nameFor }: ChartPresets,
  last: ReadonlyMap<string, Heard>,
): ReadonlyMap<string, string> {
  const onPage = new Map(chart.chords.map((chord) => [placeOf(chord), chord]));
  const found = new Map<string, string>();
  let holds: string | undefined;
  const places = chart.form.bars.flatMap(({ shares }, at) =>
    shares.map((_, place) => `${at}.${place}`),
  );
  for (const place of places) {
    const chord = onPage.get(place);
    if (chord === undefined) continue;
    if (chord.chosen.preset !== undefined) holds = undefined;
    const heard = last.get(place);
    if (heard === undefined || heard.ownPreset === holds) continue;
    holds = heard.ownPreset;
    const name = nameFor(chord);
    const begins = holds ?? (name === '' ? base : name);
    if (begins !== undefined) found.set(place, begins);
  }
  return found;
}

function heardIn(
  chart: Chart,
  played: readonly PlayedChord[],
  presets: ChartPresets,
): readonly Heard[] {
  const chords = new Map(chart.chords.map((chord) => [`${chord.bar} ${chord.beat}`, chord]));
  const found = new Map<string, Heard>();
  const switches = createSwitches(presets);
  for (const each of played) {
    const at = `${each.bar} ${each.beat}`;
    const chord = chords.get(at);
    if (chord === undefined || each.symbol === '' || !isOf(each, chord)) continue;
    const ownPreset = switches(chord, each.preset);
    found.delete(at);
    found.set(at, { place: placeOf(chord), played: each, ownPreset });
  }
  return [...found.values()];
}

/** Both bars of a pair are those before it still. */
function isPairStill(bars: readonly WrittenBar[], at: number): boolean {
  const first = bars[at]?.pairAgain === 'second' ? at - 1 : at;
  return [first, first + 1].every((place) => {
    return isStill(bars[place], bars[place - 2]);
  });
}

function isAlike(one: PlayedChord, other: PlayedChord): boolean {
  return one.symbol === other.symbol && `${one.voicing}` === `${other.voicing}`;
}

export function playedOver(chart: Chart, played: readonly PlayedChord[]): PlayedOver {
  const ofChart = {
    base: played.find(({ preset }) => preset !== undefined)?.preset,
    nameFor: presetNames(chart),
  };
  const heard = heardIn(chart, played, ofChart);
  const last = new Map(heard.map((each) => [each.place, each]));
  const presets = presetsToWrite(chart, ofChart, last);
  const barsWhere = (isOther: (own: Heard, last: Heard) => boolean): readonly number[] => {
    const bars = heard.flatMap((own) =>
      isOther(own, last.get(own.place) ?? own) ? [own.played.bar] : [],
    );
    return [...new Set(bars)];
  };
  const written = chart.form.bars.map((bar, at): WrittenBar => {
    const shares = bar.shares.map((share, place): Share => {
      const own = last.get(`${at}.${place}`);
      if (share.kind !== 'chord' || own === undefined) return share;
      const begins = presets.get(`${at}.${place}`);
      return { ...share, chord: asPlayed(share.chord, own.played, begins) };
    });
    return { ...bar, shares };
  });
  const bars = written.map((bar, at) => {
    const isAgain = bar.isAgain && isStill(bar, written[at - 1]);
    return { ...bar, isAgain, pairAgain: isPairStill(written, at) ? bar.pairAgain : undefined };
  });
  const form = { ...chart.form, bars };
  return {
    chart: { ...chart, form },
    chords: last.size,
    places: new Set(last.keys()),
    differing: barsWhere((one, other) => !isAlike(one.played, other.played)),
    otherwiseSet: barsWhere((one, other) => one.ownPreset !== other.ownPreset),
  };
}
