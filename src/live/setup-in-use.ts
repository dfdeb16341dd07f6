/** The setup that is obeyed now, and what follows from it for every key and message. */
import { placeTold, steppedPlace } from '../presets/place.ts';
import { type Playing, playingOf } from '../presets/playing.ts';
import type { Wish } from './controllers/controls.ts';
import type { Layout } from './controllers/passing.ts';
import type { Setup } from './engine-api.ts';
import { createGathering, type Gathering } from './hands/gather.ts';
import type { KeyAddress } from './hands/held-keys.ts';
import { withPreset } from './moved-registers.ts';
import { playsChords } from './out-channels.ts';

/** The hand for the keys of all channels. */
const allChannels = 16;

/** A player of one channel after another. */
const asPlayed = playingOf({});

export type SetupInUse = {
  readonly setup: () => Setup;
  readonly playing: () => Playing;
  readonly gathering: () => Gathering;
  readonly layout: () => Layout;
  /** Where the preset stands among those on stage; -1: nowhere. */
  readonly place: () => number;
  /** What sounds stays until the next chord, by the preset or by the player. */
  readonly isLatched: () => boolean;
  /** By the player; undefined: as each preset says. */
  readonly latched: () => boolean | undefined;
  readonly latch: (isLatched: boolean) => void;
  /** Keys sound as played, each on its own channel, and controllers with them. */
  readonly listen: (isListening: boolean) => void;
  /** The hand that plays the keys of a channel. */
  readonly handFor: (channel: number) => number;
  /** Keys outside the zone or of other channels pass through. */
  readonly isApart: (key: Pick<KeyAddress, 'channel' | 'note'>) => boolean;
  readonly use: (next: Setup) => void;
  /**
   * The setup with the preset that is wished for; undefined: it is the present one, or there is none.
   * Its place on stage is taken at once.
   */
  readonly chosen: (wish: Extract<Wish, { type: 'choose' | 'step' }>) => Setup | undefined;
};

export function createSetupInUse(first: Setup): SetupInUse {
  let setup = first;
  let playing = playingOf(first.preset);
  let gathering = createGathering(first.preset.gathering);
  let place = placeTold(first, 0);
  let latched: boolean | undefined;
  let isListening = false;
  return {
    setup: () => setup,
    playing: () => playing,
    gathering: () => gathering,
    layout: () => ({
      playing: isListening ? asPlayed : playing,
      voices: setup.preset.voices,
    }),
    place: () => place,
    isLatched: () => latched ?? playing.latch,
    latched: () => latched,
    latch(isLatched) {
      latched = isLatched;
    },
    listen(next) {
      isListening = next;
    },
    handFor: (channel) => (playing.hands.channels === 'merged' ? allChannels : channel),
    isApart({ channel, note }) {
      const { lowest, highest } = playing.zone;
      return note < lowest || note > highest || !playsChords(playing, channel);
    },
    use(next) {
      setup = next;
      playing = playingOf(next.preset);
      place = placeTold(next, place);
      gathering = createGathering(next.preset.gathering, gathering);
    },
    chosen(wish) {
      const { presets = [], preset } = setup;
      const asked =
        wish.type === 'choose'
          ? (setup.numbered?.[wish.place] ?? wish.place)
          : steppedPlace(presets.length, place, wish.by);
      const next = presets[asked];
      if (next === undefined) return undefined;
      place = asked;
      return next.id === preset.id ? undefined : { ...withPreset(setup, next), place: asked };
    },
  };
}
