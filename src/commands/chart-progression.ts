/** A voiced chart as a progression: bars and beats become positions. */
import { chartReport } from '../chart/report.ts';
import type { VoicedChart } from '../chart/voice.ts';
import { type Progression, ticksPerQuarter } from '../take/progression.ts';

export function progressionOfChart(voiced: VoicedChart): Progression {
  const { chart, setup } = voiced;
  const { beats, unit } = chart.metre;
  const beatLength = (ticksPerQuarter * 4) / unit;
  const chords = chartReport(voiced).chords.map(({ notes, ...chord }) => ({
    ...chord,
    tick: ((chord.bar - 1) * beats + chord.beat - 1) * beatLength,
    length: chord.beats * beatLength,
    notes: notes.map(({ midi, ...note }) => ({ ...note, note: midi })),
  }));
  return {
    title: chart.title,
    key: setup.key,
    // A chart counts its beats a minute.
    tempo: (chart.tempo * 4) / unit,
    pickup: 0,
    metres: [{ tick: 0, beats, unit }],
    chords,
    melody: [],
    grid: '',
  };
}
