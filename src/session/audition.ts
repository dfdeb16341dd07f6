/**
 * A preset tried for a moment. The worker's news of it must not be taken for a choice made by foot,
 * neither while it lasts nor when it arrives late.
 */
export type Trial = {
  readonly begin: (presetId: string) => void;
  readonly end: () => void;
  /** Whether the worker's preset is the trial's and no choice; `playing`: what should play. */
  readonly isNewsOfIt: (presetId: string, playing: string) => boolean;
};

export function createTrial(): Trial {
  let tried: string | undefined;
  let isOver = true;
  return {
    begin(presetId) {
      tried = presetId;
      isOver = false;
    },
    end() {
      isOver = true;
    },
    isNewsOfIt(presetId, playing) {
      if (tried === presetId && presetId !== playing) return true;
      // Other news after the end: the trial's own has all arrived.
      if (isOver) tried = undefined;
      return false;
    },
  };
}
