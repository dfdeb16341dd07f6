/** What the player asks for besides notes: presets, other voicings, silence. */
import type { Message } from '../midi/message.ts';
import type { PlaceMove } from '../tune/moved-place.ts';
import type { Wish } from './controllers/controls.ts';
import type { Setup } from './engine-api.ts';
import type { EngineParts } from './engine-parts.ts';
import { nowhere } from './tune/sentences.ts';

export type Wishes = {
  readonly grant: (wish: Wish, at: number, out: Message[]) => void;
  readonly use: (next: Setup, at: number, out: Message[]) => void;
  /** Everything off; keys still down stay silent until they are struck again. */
  readonly quieten: (out: Message[]) => void;
  /** Everything off and every pedal up: the only thing to send before a port closes. */
  readonly letGo: (out: Message[]) => void;
  /** Everything off, told to each channel in use as well. */
  readonly silence: (out: Message[]) => void;
};

/** @param follow what waited behind keys follows */
export function createWishes(parts: EngineParts, follow: (out: Message[]) => void): Wishes {
  const { held, hands, inUse, ledger, log, neighbours, passing, taking } = parts;

  const use = (next: Setup, at: number, out: Message[]): void => {
    const before = inUse.layout();
    const channel = parts.shown().chord.sounding()?.channel ?? 0;
    inUse.use(next);
    for (const hand of hands.all()) hand.chord.use(next, at, out);
    passing.move(before, inUse.layout(), channel, out);
  };

  const quieten = (out: Message[]): void => {
    for (const key of held.all()) key.role = 'spent';
    for (const hand of hands.all()) hand.forget();
    taking.forget();
    neighbours.forget();
    ledger.stopAll(out);
    follow(out);
  };

  const silence = (out: Message[]): void => {
    quieten(out);
    passing.silence(ledger.channels(), out);
  };

  const latch = (at: number, out: Message[]): void => {
    const isLatched = !inUse.isLatched();
    inUse.latch(isLatched);
    for (const hand of hands.all()) hand.chord.latch(isLatched, at, out);
    log.changed();
  };

  const choosePreset = (
    wish: Extract<Wish, { type: 'choose' | 'step' }>,
    at: number,
    out: Message[],
  ): void => {
    const before = inUse.place();
    const next = inUse.chosen(wish);
    if (inUse.place() !== before) log.changed();
    if (next !== undefined) use(next, at, out);
  };

  return {
    grant(wish, at, out) {
      switch (wish.type) {
        case 'panic':
          silence(out);
          return;
        case 'latch':
          latch(at, out);
          return;
        case 'move':
          movePlace(wish.move, parts);
          return;
        case 'take-shape':
          takeShape(parts);
          return;
        case 'turn':
          parts.shown().chord.choose(wish.step, at, out);
          return;
        case 'keep':
          parts.shown().chord.keep(wish.scope, at);
          return;
        default:
          choosePreset(wish, at, out);
      }
    },
    use,
    quieten,
    letGo(out) {
      quieten(out);
      passing.release(out);
    },
    silence,
  };
}

/** Of the chord that is held, or of whatever the keys are read as. */
function takeShape({ say, shown, taking }: EngineParts): void {
  const { sounding, voicer } = shown().chord;
  say(taking.ask(sounding()?.voiced.harmony.chord, voicer().key));
}

function movePlace(move: PlaceMove, { log, say, tune }: EngineParts): void {
  if (!tune.move(move)) say(nowhere(move, tune.isThere()));
  log.changed();
}
