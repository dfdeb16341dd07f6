/**
 * Leading over the whole of a file: with all chords known, the voicings that cost least together. A
 * part is played through the engine twice: the first time only the choices are noted down, the
 * second time each is answered from the best path. Both times the choices fall alike, but for the
 * few that hang on what sounds: whether a voicing is in the way of a melody, or lies above a bass.
 * Those are led from the voicing before, and the plan is found again behind them.
 */
import type { Candidates } from '../voicing/choose.ts';
import { createForesight, type Foresight } from '../voicing/foresight.ts';
import { bestPath } from '../voicing/path.ts';
import type { Voicing } from '../voicing/voicing.ts';

/** Chords taken together; the next ones go on from the last of them. It bounds the memory. */
const longestPhrase = 256;
/** So many choices ahead the plan is looked for where it is lost. */
const farthestAhead = 8;

export type Rehearsal = {
  /** For the first time through. */
  readonly listener: Foresight;
  /** For the second time, once the first is over. */
  readonly leader: () => Foresight;
};

type Choice = { readonly list: Candidates; readonly isFirst: boolean };

export function createRehearsal(): Rehearsal {
  const choices: Choice[] = [];
  return {
    listener: {
      choose(list, last) {
        choices.push({ list, isFirst: last === undefined });
        return list.voicings.length > 0 ? 0 : -1;
      },
    },
    leader() {
      const places = planned(choices);
      const unplanned = createForesight();
      let next = 0;
      return {
        choose(list, last) {
          const place = placeFrom(choices, next, list);
          if (place < 0) return unplanned.choose(list, last);
          next = place + 1;
          return places[place] ?? -1;
        },
      };
    },
  };
}

/** The first choice from `next` on that was of this list; -1 where none of the next few was. */
function placeFrom(choices: readonly Choice[], next: number, list: Candidates): number {
  for (let place = next; place < next + farthestAhead; place += 1) {
    const other = choices[place]?.list;
    if (other === undefined) return -1;
    if (areAlike(other, list)) return place;
  }
  return -1;
}

/** Another engine has lists of its own, with the same voicings in the same order. */
function areAlike({ voicings: some }: Candidates, { voicings: others }: Candidates): boolean {
  const isSame = (one?: Voicing, other?: Voicing): boolean =>
    one?.notes.length === other?.notes.length &&
    (one?.notes.every((note, place) => note === other?.notes[place]) ?? true);
  return (
    some.length === others.length &&
    isSame(some[0], others[0]) &&
    isSame(some.at(-1), others.at(-1))
  );
}

/** The place in each choice's list. A rest begins anew; a long phrase goes on from where it was. */
function planned(choices: readonly Choice[]): Int32Array {
  const places = new Int32Array(choices.length).fill(-1);
  let last: Voicing | undefined;
  for (let start = 0; start < choices.length; ) {
    const end = phraseEnd(choices, start);
    const lists = choices.slice(start, end).map(({ list }) => list);
    const from = choices[start]?.isFirst === true ? undefined : last;
    const before = from === undefined ? [] : [only(from, lists[0])];
    const { voicings } = bestPath([...before, ...lists]);
    voicings.slice(before.length).forEach((voicing, place) => {
      if (voicing === undefined) return;
      places[start + place] = lists[place]?.voicings.indexOf(voicing) ?? -1;
      last = voicing;
    });
    start = end;
  }
  return places;
}

function phraseEnd(choices: readonly Choice[], start: number): number {
  const most = Math.min(choices.length, start + longestPhrase);
  let end = start + 1;
  while (end < most && choices[end]?.isFirst === false) end += 1;
  return end;
}

/** A list of one voicing, to go on from. */
function only(voicing: Voicing, like: Candidates | undefined): Candidates {
  const strategy = like?.strategy ?? 'close';
  return { voicings: [voicing], standing: new Float64Array(1), fallback: [], strategy };
}
