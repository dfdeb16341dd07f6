/** A voiced chart as a progression: bars and beats become positions. */
import { chartReport } from '../chart/report.ts';
import type { VoicedChart } from '../chart/voice.ts';
import { type Progression, ticksPerQuarter } from '../take/progression.ts';

export function progressionOfChart(voiced: VoicedChart): Progression {
  const { chart, setup } = voiced;
  const tickOf = (quarters: number): number => Math.round(quarters * ticksPerQuarter);
  const chords = chartReport(voiced).chords.map(({ notes, ...chord }, place) => {
    const { start = 0, length = 0 } = chart.chords[place] ?? {};
    return {
      ...chord,
      tick: tickOf(start),
      length: tickOf(start + length) - tickOf(start),
      notes: notes.map(({ midi, ...note }) => ({ ...note, note: midi })),
    };
  });
  return {
    title: chart.title,
    key: setup.key,
    // A chart counts its beats a minute.
    tempo: (chart.tempo * 4) / chart.metres[0].unit,
    beatNote: chart.beatNote,
    pickup: tickOf(chart.pickup),
    metres: chart.metres.map(({ start, beats, unit }) => ({ tick: tickOf(start), beats, unit })),
    chords,
    melody: [],
    grid: '',
  };
}
