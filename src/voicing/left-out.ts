/**
 * What of the chord a voicing does not sound: told, so that nobody has to hear that it is missing.
 * Root and plain fifth go without saying, and so does the third of a hybrid, which has none by
 * definition.
 */
import { calledDegree } from '../harmony/chord/chord-type.ts';
import type { Harmony } from '../harmony/chord/palette.ts';
import { type Degree, semitonesOf } from '../harmony/pitch/degree.ts';
import { has } from '../harmony/pitch/pitch-class-set.ts';
import { fromRoot, hybridIn } from './sounding.ts';
import type { Voicing } from './voicing.ts';

const unsaid: readonly Degree[] = ['1', '5'];
const thirds: readonly Degree[] = ['3', 'b3'];

function isHybrid(voicing: Voicing, { chord }: Harmony): boolean {
  return voicing.technique === 'hybrid' && hybridIn(voicing, chord.root) !== undefined;
}

/**
 * Under a melody on the root a sixth stands for the major seventh that the chord has, or would have
 * grown: the seventh would lie a semitone or a minor ninth below it.
 */
export function isSixthForSeventh({ upper, notes }: Voicing, { chord, palette }: Harmony): boolean {
  const sounding = fromRoot(notes, chord.root);
  const isOnRoot = (upper.at(-1) ?? 0) % 12 === chord.root;
  return isOnRoot && has(palette.guides, 11) && has(sounding, 9) && !has(sounding, 11);
}

/**
 * `asked`: the chord was held, all of it, or written: then what its symbol only implies (the ninth of
 * a thirteenth) is nobody's wish.
 */
export function leftOut(
  voicing: Voicing,
  harmony: Harmony,
  asked: 'held' | 'written',
): readonly string[] {
  const { type, reading, root } = harmony.chord;
  const sounding = fromRoot(voicing.notes, root);
  const aside = [
    ...unsaid,
    ...reading.omitted,
    ...(asked === 'written' ? type.optional : []),
    ...(isHybrid(voicing, harmony) ? thirds : []),
  ];
  const absent = type.degrees.filter(
    (degree) => !aside.includes(degree) && !has(sounding, semitonesOf(degree)),
  );
  // Of an altered dominant's ninths, and of its fifths, one is enough.
  const groups = type.oneOf.map((group) => ({
    isMet: (group & sounding) !== 0,
    members: absent.filter((degree) => has(group, semitonesOf(degree))),
  }));
  const single = absent.filter((degree) =>
    groups.every(({ members }) => !members.includes(degree)),
  );
  return [
    ...single.map((degree) => calledDegree(degree, type)),
    ...groups.filter(({ isMet }) => !isMet).map(({ members }) => members.join('/')),
  ].filter((name) => name !== '');
}
