/** What the player is told of the tune on the stage. */
import type { PlaceMove } from '../../tune/moved-place.ts';

export const noTune = 'There is no tune on the stage; open a chart on the charts page.';

/** Why the place was not moved. */
export function nowhere(move: PlaceMove, isTuneThere: boolean): string {
  if (!isTuneThere) return noTune;
  return 'place' in move
    ? `The tune has no section ${move.place + 1}.`
    : 'The tune has no chord to go to.';
}

export function oneKeySentence(isOn: boolean): string {
  return isOn
    ? 'Any key plays the next chord of the tune, the same key again the same chord.'
    : 'Your keys are what you play again.';
}
