/**
 * The voicings that a chord may have in a preset, for many presets that differ in little more than
 * their registers: a strategy's voicings are listed once, in a register that holds all of those, and
 * each preset's are the ones among them that stand in its own. (What gives up fewest rules and loses
 * least in the wide register does so in a narrower one, as long as any of it is left there.) What moves
 * between them cost is measured once, too.
 */
import type { Harmony } from '../harmony/chord/palette.ts';
import type { Preset } from '../presets/preset.ts';
import { type Candidates, candidates } from '../voicing/choose.ts';
import { standingCost } from '../voicing/leading.ts';
import { createMoves, type MovesBetween } from '../voicing/moves.ts';
import { holds, type Register } from '../voicing/register.ts';
import type { Frame, Voicing } from '../voicing/voicing.ts';

export type VoicingLists = {
  /** @param slot tells the chord and its frame from others, registers aside. */
  readonly list: (
    slot: string,
    strategy: Preset['strategy'],
    harmony: Harmony,
    frame: Frame,
  ) => Candidates;
  readonly movesBetween: MovesBetween;
};

/** Registers that hold all which are to come; in others, each list is made for itself. */
export type Widest = { readonly upper: Register; readonly bass: Register };

function isIn(note: number | undefined, { lowest, highest }: Register): boolean {
  return note === undefined || (note >= lowest && note <= highest);
}

/** The note of a pedal stands where it is held. */
function stands(
  { upper: own, bass: low }: Voicing,
  { upper, bass }: Pick<Frame, 'upper' | 'bass'>,
) {
  const isHeld = bass.policy === 'pedal' && bass.pedal !== undefined;
  return isIn(own[0], upper) && isIn(own.at(-1), upper) && (isHeld || isIn(low, bass));
}

/** Where a list comes from: the wide one, and the places of its voicings there. */
type Origin = { readonly wide: Candidates; readonly places: Int32Array };

/** Moves that are kept; they take four bytes each. */
const mostKeptMoves = 1 << 23;

export function createVoicingLists({ upper, bass }: Widest): VoicingLists {
  const wides = new Map<string, Candidates>();
  const relaxed = new Map<string, Candidates>();
  const origins = new WeakMap<Candidates, Origin>();
  const moves = createMoves(mostKeptMoves);

  const wideList = (
    slot: string,
    strategy: Preset['strategy'],
    harmony: Harmony,
    frame: Frame,
  ): Candidates => {
    const known = wides.get(slot);
    if (known !== undefined) return known;
    const wider = { ...frame, upper, bass: { ...frame.bass, ...bass } };
    const list = candidates(strategy, harmony, wider);
    // Of registers that gave way nothing is known in narrower ones.
    const isInside = list.voicings.every((each) => stands(each, wider));
    const made = isInside ? list : { ...list, voicings: [] };
    wides.set(slot, made);
    return made;
  };

  const narrowed = (wide: Candidates, frame: Frame): Candidates => {
    const places: number[] = [];
    const voicings: Voicing[] = [];
    const standing: number[] = [];
    wide.voicings.forEach((voicing, place) => {
      if (!stands(voicing, frame)) return;
      places.push(place);
      voicings.push(voicing);
      standing.push(standingCost(voicing, frame));
    });
    const list = { ...wide, voicings, standing: Float64Array.from(standing) };
    origins.set(list, { wide, places: Int32Array.from(places) });
    return list;
  };

  return {
    list(slot, strategy, harmony, frame) {
      const isWithin = holds(upper, frame.upper) && holds(bass, frame.bass);
      const list = isWithin ? narrowed(wideList(slot, strategy, harmony, frame), frame) : undefined;
      if (list !== undefined && list.voicings.length > 0) return list;
      // Where none is left, rules are given up, and which ones depends on the register.
      const { lowest, highest } = frame.upper;
      const here = `${slot} ${lowest} ${highest} ${frame.bass.lowest} ${frame.bass.highest}`;
      const made = relaxed.get(here) ?? candidates(strategy, harmony, frame);
      relaxed.set(here, made);
      return made;
    },
    movesBetween(from, to) {
      const [one, other] = [origins.get(from), origins.get(to)];
      if (one === undefined || other === undefined) return createMoves(0)(from, to);
      const move = moves(one.wide, other.wide);
      return (here, there) => move(one.places[here] ?? 0, other.places[there] ?? 0);
    },
  };
}
