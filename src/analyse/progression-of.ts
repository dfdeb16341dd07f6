/** An analysed passage as a progression, for scores and hand-outs: what it is called under each chord. */
import type { Progression } from '../score/progression.ts';
import { quantise } from '../score/quantise.ts';
import type { TimedChord } from '../take/note-spans.ts';
import type { Analysis } from './analyse.ts';
import type { DescribedChord } from './describe.ts';

/** As if it were played and sent as it stands. */
function timedChord(chord: DescribedChord, { passage: { time } }: Analysis): TimedChord {
  const { moment, symbol, notes, label, technique } = chord;
  const voices = notes.map(({ midi, name, degree, part }) => ({
    ...{ note: midi, name, degree, part },
    velocity: 80,
  }));
  return {
    start: time.quartersAt(moment.at),
    end: time.quartersAt(moment.until),
    report: {
      atMicroseconds: moment.at,
      heard: { symbol, runnerUp: '', notes: [] },
      sent: { voices, symbol: '', label, technique, relaxed: [] },
      preset: '',
    },
  };
}

export function progressionOf(analysis: Analysis, title: string): Progression {
  const { chords, key, passage } = analysis;
  const chordsInTime = chords.map((chord) => timedChord(chord, analysis));
  const first = chords[0]?.moment.at ?? 0;
  const { beats, unit } = passage.metres[0] ?? { beats: 4, unit: 4 };
  const quarter = (passage.time.beatAt(first) * unit) / 4;
  const progression = quantise(
    { chords: chordsInTime, beside: [] },
    {
      ...{ title, key, metres: passage.metres, pickup: passage.pickup },
      tempo: beats === 0 ? 120 : 60_000_000 / quarter,
      about: 'by the beats of the passage',
    },
  );
  return { ...progression, manner: { symbols: 'written', hasNumerals: false } };
}
