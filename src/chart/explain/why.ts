/**
 * Why a voicing is the one that was chosen, in a sentence of what is measured: what was asked for,
 * what it says of the chord, how it follows from the one before (follows.ts), and what the next best
 * would do worse (next-best.ts).
 */
import type { Hybrid } from '../../harmony/chord/hybrid.ts';
import type { Harmony } from '../../harmony/chord/palette.ts';
import { has, membersOf, transpose } from '../../harmony/pitch/pitch-class-set.ts';
import { fromRoot, hybridIn } from '../../voicing/sounding.ts';
import { type Clause, clause, type Placed } from './clause.ts';
import { follows } from './follows.ts';
import { comparedWithNext } from './next-best.ts';
import { listed, withDegrees } from './words.ts';

/** What was asked for, before any choice. */
function asked({ chosen, prepared, voicing }: Placed): Clause | undefined {
  const { list, preset, isExact } = prepared;
  if (isExact) return clause('chosen', 'the chart chooses these very notes');
  if (chosen !== '') return clause('chosen', `the chart asks for ${chosen}`);
  if (preset.shape !== undefined) return clause('own', `the preset has the shape ${preset.shape}`);
  if (list.isOwn === true) return clause('own', 'the preset keeps this voicing for this chord');
  const { technique } = voicing;
  if (technique === undefined || technique === preset.strategy) return undefined;
  return clause(
    'stand-in',
    `nothing in '${preset.strategy}' keeps the rules here, so that '${technique}' stands in`,
  );
}

const families: Readonly<Record<string, string>> = {
  suspended: 'a suspended dominant',
  'suspended-flat-ninth': 'a suspended dominant with the flat ninth',
  dominant: 'a dominant',
  lydian: 'a Lydian chord',
  'major-seventh': 'a major seventh chord',
  'minor-seventh': 'a minor seventh chord',
  sixth: 'a sixth chord',
};

/** Without its third the upper chord leaves open which of two chords it is: the written one says. */
function functionOf({ family }: Hybrid, { chord, palette }: Harmony): string {
  const isMinor = has(chord.type.tones, 3) && !has(chord.type.tones, 4);
  if (isMinor && family === 'major-seventh') return 'a minor chord with a major seventh';
  if (family === 'minor-seventh' && palette.isDominant) return 'a dominant ninth';
  return families[family] ?? 'the chord';
}

function hybridMeaning({ voicing, prepared, sounds }: Placed): Clause | undefined {
  const { harmony } = prepared;
  const { root } = harmony.chord;
  const row = voicing.technique === 'hybrid' ? hybridIn(voicing, root) : undefined;
  if (row === undefined) return undefined;
  const what = sounds.replace('/', ' over ');
  if (row.use === 'pedal') return clause('hybrid', `no third: ${what} is heard over a held bass`);
  const does = `keeps the function of ${functionOf(row, harmony)} (${row.standsFor})`;
  return clause('hybrid', `no third: ${what} ${does}`);
}

/** Third and seventh, or what stands for them, among the notes; the seventh alone of no triad. */
function guidesIn({ notes, voicing, prepared }: Placed) {
  const { chord, palette } = prepared.harmony;
  const guides = transpose(palette.guides, chord.root);
  const all = notes.filter((_, voice) => has(guides, (voicing.notes[voice] ?? 0) % 12));
  // A tone that is doubled says it once.
  const heard = [
    ...new Map(all.toReversed().map((note) => [note.degree, note])).values(),
  ].reverse();
  return { heard, isWhole: heard.length >= membersOf(palette.guides).length };
}

function technicalMeaning(placed: Placed): Clause {
  const { voicing, notes, prepared } = placed;
  const { technique, upper, bass } = voicing;
  const tensions = notes.slice(-3).filter(({ degree }) => /(?:9|11|13)$/u.test(degree));
  if (technique === 'upper-structure' && tensions.length > 0) {
    const low = notes.slice(bass === undefined ? 0 : 1, -3);
    const text = `${withDegrees(low)} ${low.length === 1 ? 'says' : 'say'} the chord, the triad on top brings ${listed(tensions.map(({ degree }) => degree))}`;
    return clause('upper-structure', text);
  }
  const { heard, isWhole } = guidesIn(placed);
  const root = prepared.harmony.chord.root;
  const hasRoot = upper.some((note) => note % 12 === root);
  const isOpenBelow = technique === 'rootless' && bass === undefined && !hasRoot;
  if (isOpenBelow) {
    return clause(
      'rootless',
      `the root is left to the bass, and ${withDegrees(heard)} say the chord`,
    );
  }
  if (heard.length === 0)
    return clause('guides', 'neither third nor seventh sounds, which leaves the chord open');
  const one = isWhole ? '' : 'alone ';
  const verb = heard.length === 1 ? 'says' : 'say';
  const without = rootAndFifthMissing(placed);
  return clause('guides', `${withDegrees(heard)} ${one}${verb} what chord it is${without}`);
}

/** ', without its root and its fifth': the fifth alone is missed by nobody. */
function rootAndFifthMissing({ voicing, prepared }: Placed): string {
  const { chord } = prepared.harmony;
  const sounding = fromRoot(voicing.notes, chord.root);
  if (has(sounding, 0)) return '';
  const isFifthAway = chord.type.degrees.includes('5') && !has(sounding, 7);
  return isFifthAway ? ', without its root and its fifth' : ', without its root';
}

/** The clauses of the sentence, one to four; the first has what decides most. */
export function whyClauses(placed: Placed): readonly Clause[] {
  return [
    asked(placed),
    hybridMeaning(placed) ?? technicalMeaning(placed),
    follows(placed),
    placed.prepared.isExact ? undefined : comparedWithNext(placed),
  ].flatMap((each) => each ?? []);
}
