/**
 * Leading over the whole of a file: with all chords known, the voicings that cost least together. A
 * part is played through the engine twice: the first time only the choices are noted down, the
 * second time each is answered from the best path. What is played decides where the choices fall,
 * never which voicing was chosen, so both times they fall alike.
 */
import type { Candidates } from '../voicing/choose.ts';
import type { Foresight } from '../voicing/foresight.ts';
import { bestPath } from '../voicing/path.ts';
import type { Voicing } from '../voicing/voicing.ts';

/** Chords taken together; the next ones go on from the last of them. It bounds the memory. */
const longestPhrase = 256;

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
      let next = 0;
      return {
        choose(list) {
          // Another engine has lists of its own, with the same voicings in the same order.
          const isSame = choices[next]?.list.voicings.length === list.voicings.length;
          if (!isSame) throw new Error('the second time through is another one');
          const place = places[next] ?? -1;
          next += 1;
          return place;
        },
      };
    },
  };
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
