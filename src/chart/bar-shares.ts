/** The signs of one bar as shares of its beats, and where its cues stand. */

import { chordSign } from './chord-sign.ts';
import { contradiction } from './chosen.ts';
import { exactly } from './exactly.ts';
import type { Share } from './form.ts';
import {
  fault,
  firstSign,
  isNextPickup,
  type Mutable,
  placeOf,
  type Sign,
  type State,
  type Unit,
} from './layout-state.ts';
import { splitBeat, splitBeats } from './split-beats.ts';

/** Beats of each unit: counted where beats are marked, else shared. */
function beatsOfUnits(state: State, units: readonly Unit[]): readonly number[] {
  const isPickup = isNextPickup(state);
  const beats = isPickup ? state.pickup : state.line.metre.beats;
  const first = units.map(firstSign).find((sign) => sign !== undefined) ?? { column: 1 };
  const isCounted = units.some((unit) => 'group' in unit || unit.sign.kind === 'beat');
  if (isCounted) {
    if (units.length !== beats) {
      fault(
        state,
        first,
        `This bar has ${units.length} beats, chords and / counted, and the ${isPickup ? 'pick-up' : 'metre'} ${beats}; add or take out /.`,
      );
    }
    return units.map(() => 1);
  }
  const shared = splitBeats(units.length, beats);
  if (shared === undefined) {
    const message = `${units.length} chords cannot share ${beats} beats; mark the beats with /, or put two chords of one beat in {}.`;
    fault(state, first, message);
    return units.map(() => beats / units.length);
  }
  if (shared.some((each) => each !== shared[0])) {
    state.uneven.push({ place: placeOf(state, first), count: units.length, beats });
  }
  return shared;
}

/** One sign as a share of its bar; beats that go on in the same bar are joined. */
function addShare(state: State, shares: Mutable<Share>[], sign: Sign, beats: number): void {
  const last = shares.at(-1);
  const place = placeOf(state, sign);
  if (sign.kind === 'chord') {
    shares.push({ kind: 'chord', chord: chordOf(state, sign), beats, ...place });
  } else if (sign.kind === 'rest') {
    if (last?.kind === 'rest') last.beats = exactly(last.beats + beats);
    else shares.push({ kind: 'rest', beats, ...place });
  } else if (last === undefined) {
    shares.push({ kind: 'held', beats, ...place });
  } else {
    last.beats = exactly(last.beats + beats);
  }
}

function chordOf(state: State, token: Sign) {
  const { symbol: text, isPushed, opens, closes, lead, problem } = chordSign(token.text);
  const place = placeOf(state, token);
  if (opens) state.optional ??= place;
  const isOptional = state.optional !== undefined;
  if (closes) {
    if (!isOptional) fault(state, token, `'${token.text}': a parenthesis closes and none opens.`);
    state.optional = undefined;
  }
  if (problem !== undefined) fault(state, token, problem);
  const read = state.read(text);
  if (!read.ok) fault(state, token, read.message);
  const symbol = read.ok ? read.symbol : undefined;
  const { chosen = {} } = token;
  const against = contradiction(chosen, { symbol: text, lead }, symbol?.bass !== undefined);
  if (against !== '') fault(state, token, against);
  return { text, symbol, isPushed, isOptional, lead, chosen };
}

export function sharesOf(state: State, units: readonly Unit[]): readonly Share[] {
  const beats = beatsOfUnits(state, units);
  const shares: Mutable<Share>[] = [];
  units.forEach((unit, index) => {
    const own = beats[index] ?? 1;
    if ('sign' in unit) {
      addShare(state, shares, unit.sign, own);
      return;
    }
    const { signs, column } = unit.group;
    const parts = splitBeat(signs.length);
    if (parts === undefined) {
      fault(state, { column }, '{} holds two, three or four signs that share one beat.');
    }
    signs.forEach((sign, place) => {
      addShare(state, shares, sign, parts?.[place] ?? 1 / signs.length);
    });
  });
  return shares;
}

/** Beats from the beginning of the bar to each unit, and to its end. */
export function cuesOf(state: State, shares: readonly Share[]) {
  const beats = shares.reduce((sum, each) => sum + each.beats, 0);
  const counted = state.units.length;
  return state.cues.map(({ unit, words, place }) => {
    if (unit >= counted) {
      state.faults.push({
        ...place,
        message: `A cue stands before its chord, and none follows "${words}" in this bar.`,
      });
    }
    const isEven = state.units.some((each) => 'group' in each || each.sign.kind === 'beat');
    const own = isEven ? undefined : splitBeats(counted, beats)?.slice(0, unit);
    return { words, at: own?.reduce((sum, each) => sum + each, 0) ?? unit };
  });
}
