/**
 * A take over a tune, in the tune's own bars: repeats as repeats, each chord with the notes that
 * sounded for it. What was not played is written and silent.
 */
import type { Chart } from '../../chart/chart.ts';
import { parseChart } from '../../chart/parse.ts';
import { playedOver } from '../../chart/played-over.ts';
import { voiceChart } from '../../chart/voice.ts';
import { writeChart } from '../../chart/write.ts';
import type { Key } from '../../harmony/key/key.ts';
import type { ChordReport } from '../../live/snapshot.ts';
import type { Preset } from '../../presets/preset.ts';
import { chosenLabel, type Progression } from '../../score/progression.ts';
import { toldOf } from '../../score/take-progression.ts';
import { notAlike, placedChords } from '../../session/chart-of-chords.ts';
import { rowOf } from '../../session/chord-row.ts';
import type { Journal } from '../../take/journal.ts';
import { type LabelOf, progressionOfChart } from '../chart/chart-progression.ts';

export type OverTune = {
  readonly progression: Progression;
  /** What of the take is not in it: whole sentences. */
  readonly remarks: readonly string[];
};

type Asked = {
  readonly title: string | undefined;
  /** Of the take, where neither is. */
  readonly name: string;
  readonly key: Key | undefined;
};

/** Every voicing is given by its notes: nothing of it is asked. */
const anyPreset: Preset = {
  id: 'take',
  name: 'As played',
  about: 'the notes of a take',
  strategy: 'close',
  voices: 4,
  upper: { lowest: 0, highest: 127 },
  bass: { policy: 'root', lowest: 0, highest: 127 },
  growth: 'as-played',
  gathering: { mode: 'fixed', ceilingMilliseconds: 30 },
};

type Place = { readonly written: { readonly bar: number; readonly share: number } };

const nameOf = ({ written: { bar, share } }: Place): string => `${bar}.${share}`;

/** The chart with the notes that sounded, each chord by its notes. */
function withNotes(chart: Chart, row: readonly ChordReport[]) {
  const sounded = row.filter(({ sent }) => sent.voices.length > 0);
  const placed = sounded.flatMap((chord) => {
    const voicing = chord.sent.voices.map(({ note }) => note);
    return placedChords([chord]).map(({ preset: _, ...each }) => ({ ...each, voicing }));
  });
  const over = playedOver(chart, placed);
  const written = parseChart(writeChart(over.chart));
  if (over.chords === 0 || !written.ok) return undefined;
  // Notes that only the leading changed from pass to pass are not played otherwise; chosen ones are.
  const { differing, otherwiseSet } = playedOver(chart, placedChords(sounded));
  return { over: { ...over, differing, otherwiseSet }, chart: written.value };
}

/** Of each chord as it is played, what was said of it when it was played last. */
function labelsOf(chart: Chart, row: readonly ChordReport[]): ReadonlyMap<string, string> {
  const at = new Map(chart.chords.map((chord) => [`${chord.bar} ${chord.beat}`, nameOf(chord)]));
  return new Map(
    row.flatMap(({ place, sent, choice }) => {
      const name = place && at.get(`${place.bar} ${place.beat}`);
      return name === undefined ? [] : [[name, chosenLabel(sent.label, choice !== undefined)]];
    }),
  );
}

/** Undefined: it was played over no tune, or nothing of it has a place there. */
export function overTune(journal: Journal, asked: Asked): OverTune | undefined {
  const { chart: text } = journal.head;
  const parsed = text === undefined ? undefined : parseChart(text);
  const row = rowOf(journal.chords);
  const played = parsed?.ok === true ? withNotes(parsed.value, row) : undefined;
  if (parsed?.ok !== true || played === undefined) return undefined;
  const { chart, over } = played;
  const voiced = voiceChart(chart, {
    preset: anyPreset,
    key: asked.key ?? chart.key,
    registers: {},
  });
  const chords = voiced.chords.map((each) =>
    over.places.has(nameOf(each.chord)) ? each : { ...each, sounding: undefined },
  );
  const labels = labelsOf(chart, row);
  const labelOf: LabelOf = ({ chord }) =>
    over.places.has(nameOf(chord)) ? (labels.get(nameOf(chord)) ?? '') : '';
  // What the tune is voiced with here is no technique of the take's.
  const { techniques: _, ...progression } = progressionOfChart({ ...voiced, chords }, { labelOf });
  const isMelody = toldOf(journal).beside.length > 0;
  const title = asked.title ?? (chart.title === '' ? asked.name : chart.title);
  return {
    progression: { ...progression, title },
    remarks: [...[notAlike(over)].filter((each) => each !== ''), ...(isMelody ? [inOwnTime] : [])],
  };
}

const inOwnTime =
  'In the bars of its tune the score has the chords alone, without the notes beside them; --grid writes the take in its own time.';
