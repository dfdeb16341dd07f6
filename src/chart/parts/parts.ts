/**
 * The voices of a voiced chart given out to the players of an ensemble. What is written once is given
 * out once, however often its bar is played, so that a part with repeat signs says what sounds.
 */
import type { Ensemble } from '../../ensemble/ensemble.ts';
import { type GivenChord, type GivenOut, giveOut, type Manner } from '../../ensemble/give-out.ts';
import { worthOf } from '../../ensemble/worth.ts';
import type { VoicedChart, VoicedChord } from '../voice.ts';

export type ChartParts = {
  readonly ensemble: Ensemble;
  readonly manner: Manner;
  /** For each chord of the voiced chart what each part of the ensemble has, lowest first. */
  readonly given: readonly GivenOut[];
};

function nameOf({ chord: { written } }: VoicedChord): string {
  return `${written.bar}.${written.share}`;
}

function chordOf({ sounding }: VoicedChord): GivenChord {
  if (sounding === undefined) return { notes: [], worth: [] };
  const { voicing, harmony } = sounding;
  return { notes: voicing.notes, worth: worthOf(voicing, harmony) };
}

export function partsOfChart(
  { chords }: VoicedChart,
  ensemble: Ensemble,
  manner: Manner,
): ChartParts {
  const places = new Map<string, number>();
  const written = chords.filter((each) => {
    const name = nameOf(each);
    if (places.has(name)) return false;
    places.set(name, places.size);
    return true;
  });
  const players = ensemble.parts.map(({ range }) => range);
  const given = giveOut(written.map(chordOf), players, manner);
  const silence: GivenOut = players.map(() => undefined);
  return {
    ensemble,
    manner,
    given: chords.map((each) => given[places.get(nameOf(each)) ?? -1] ?? silence),
  };
}
