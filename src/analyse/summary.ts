/** What the chords of a passage have in common, as figures; sentences.ts says the most of it. */
import { kindOf } from '../harmony/key/function.ts';
import { shortInterval } from '../harmony/pitch/short-interval.ts';
import type { Analysis } from './analyse.ts';
import { passageBass } from './bass-policy.ts';
import { countedBy, mostOf } from './counts.ts';
import type { DescribedChord } from './describe.ts';
import { hasThird } from './evidence.ts';
import type { RegisterFound, Summary, SummarySection } from './figures.ts';
import { type Section, sectionsOf } from './sections.ts';
import { sentencesOf } from './sentences.ts';

/** Undefined for no notes. */
function registerOf(notes: readonly number[]): RegisterFound | undefined {
  const ascending = [...notes].sort((one, other) => one - other);
  const [lowest] = ascending;
  const [median, highest] = [ascending[ascending.length >> 1], ascending.at(-1)];
  if (lowest === undefined || median === undefined || highest === undefined) return undefined;
  return { lowest, median, highest };
}

/** Degrees that are no tones of a triad, sixth or seventh. */
const tensionDegrees: readonly string[] = ['b9', '9', '#9', '11', '#11', 'b13', '13'];

function tensionsOf(chords: readonly DescribedChord[]): Summary['tensions'] {
  const byFamily = new Map<string, string[]>();
  for (const chord of chords) {
    const family = kindOf(chord.chord.type);
    const own = chord.notes
      .map(({ degree }) => degree)
      .filter((each) => tensionDegrees.includes(each));
    const all = byFamily.get(family) ?? [];
    byFamily.set(family, all);
    all.push(...new Set(own));
  }
  return Object.fromEntries(
    [...byFamily].map(([family, own]) => [family, countedBy(own, (each) => each)] as const),
  );
}

function leadOf(chords: readonly DescribedChord[]): Summary['lead'] {
  const tops = registerOf(chords.map(({ upper }) => upper.at(-1) ?? 0));
  const moves = chords.flatMap(({ motion }) =>
    motion === undefined ? [] : [Math.abs(motion.top)],
  );
  const count = (isSo: (move: number) => boolean) => moves.filter(isSo).length;
  return {
    lowest: tops?.lowest ?? 0,
    highest: tops?.highest ?? 0,
    held: count((move) => move === 0),
    steps: count((move) => move === 1 || move === 2),
    leaps: count((move) => move > 2),
  };
}

function rhythmOf({ chords, passage }: Analysis): Summary['rhythm'] {
  const lengths = chords.slice(1).flatMap(({ moment: { at } }, place) => {
    const from = chords[place]?.moment.at ?? 0;
    const beats = (at - from) / passage.time.beatAt(from);
    return [Math.round(beats * 4) / 4];
  });
  const [beats, changes] = mostOf(countedBy(lengths, (each) => each));
  return {
    beats: Number(beats),
    changes,
    struckAgain: chords.filter(({ moment: { times } }) => times > 1).length,
  };
}

function sectionIn(chords: readonly DescribedChord[], section: Section): SummarySection {
  const { from, to, technique, chords: own } = section;
  return {
    fromBar: chords[from]?.place.bar ?? 0,
    toBar: chords[to - 1]?.place.bar ?? 0,
    technique,
    chords: own,
    of: to - from,
  };
}

function leadingOf(chords: readonly DescribedChord[]): Summary['leading'] {
  const motions = chords.flatMap(({ motion }) => motion ?? []);
  const sum = motions.reduce((all, { semitones }) => all + semitones, 0);
  return {
    moves: motions.length,
    meanSemitones: Math.round((sum / Math.max(1, motions.length)) * 10) / 10,
    kinds: countedBy(motions, ({ kind }) => kind),
  };
}

export function summaryOf(analysis: Analysis): Summary {
  const { chords, isBassDoubled } = analysis;
  const uppers = chords.flatMap(({ upper }) => upper);
  const steps = chords.flatMap(({ upper }) =>
    upper.slice(1).map((note, voice) => note - (upper[voice] ?? 0)),
  );
  const { policy, chords: served, asWritten } = passageBass(chords);
  const first = chords[0]?.place.bar ?? 0;
  const figures: Omit<Summary, 'sentences'> = {
    chords: chords.length,
    bars: (chords.at(-1)?.place.bar ?? 0) - first + 1,
    techniques: countedBy(chords, ({ technique }) => technique),
    fourthsWithThird: chords.filter((chord) => chord.technique === 'fourths' && hasThird(chord))
      .length,
    sections: sectionsOf(chords).map((section) => sectionIn(chords, section)),
    registers: {
      bass: registerOf(chords.flatMap(({ bass }) => bass ?? [])) ?? null,
      upper: registerOf(uppers) ?? { lowest: 0, median: 0, highest: 0 },
    },
    voices: countedBy(chords, ({ upper }) => upper.length),
    intervals: countedBy(steps, shortInterval),
    bass: {
      policy,
      chords: served,
      asWritten,
      isDoubled: isBassDoubled,
      kinds: countedBy(chords, ({ bassKind }) => bassKind),
    },
    tensions: tensionsOf(chords),
    lead: leadOf(chords),
    leading: leadingOf(chords),
    rhythm: rhythmOf(analysis),
  };
  return { ...figures, sentences: sentencesOf(figures, analysis.key) };
}
