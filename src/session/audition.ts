/**
 * A preset tried for a moment. The worker's states of it must not be taken for a choice made by foot,
 * neither while it lasts nor when it arrives late.
 */
export type Audition = {
  readonly begin: (presetId: string) => void;
  readonly end: () => void;
  /** Whether the worker's preset is the audition's and no choice; `playing`: what should play. */
  readonly isStateOfIt: (presetId: string, playing: string) => boolean;
};

export function createAudition(): Audition {
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
    isStateOfIt(presetId, playing) {
      if (tried === presetId && presetId !== playing) return true;
      // Another state after the end: the audition's own have all arrived.
      if (isOver) tried = undefined;
      return false;
    },
  };
}
