/** What the player asks for besides notes: presets, other voicings, silence. */
import type { Message } from '../midi/message.ts';
import type { PlaceMove } from '../tune/moved-place.ts';
import type { Wish } from './controllers/controls.ts';
import type { Setup } from './engine-api.ts';
import type { EngineParts } from './engine-parts.ts';
import { nowhere } from './tune/sentences.ts';

const nothingRevoiced = 'Nothing is revoiced while Handspan listens.';

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
  const { held, hands, inUse, ledger, listening, log, neighbours, passing, taking } = parts;

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
    listening.forget();
    neighbours.forget();
    ledger.stopAll(out);
    follow(out);
  };

  const silence = (out: Message[]): void => {
    quieten(out);
    passing.silence(ledger.channels(), out);
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
          latch(parts, at, out);
          return;
        case 'listen':
          listen(parts, wish.isOn ?? !listening.isOn(), at, out);
          return;
        case 'move':
          movePlace(wish.move, parts);
          return;
        case 'take-shape':
          takeShape(parts);
          return;
        case 'turn':
        case 'keep':
          if (listening.isOn()) parts.say(nothingRevoiced);
          else ofLastChord(parts, wish, at, out);
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

function ofLastChord(
  { shown }: EngineParts,
  wish: Extract<Wish, { type: 'turn' | 'keep' }>,
  at: number,
  out: Message[],
): void {
  const { chord } = shown();
  if (wish.type === 'turn') chord.choose(wish.step, at, out);
  else chord.keep(wish.scope, at);
}

function latchHands(
  { hands }: EngineParts,
  isLatched: boolean | undefined,
  at: number,
  out: Message[],
): void {
  for (const hand of hands.all()) hand.chord.latch(isLatched, at, out);
}

function latch(parts: EngineParts, at: number, out: Message[]): void {
  const { inUse, listening, log } = parts;
  const isLatched = !inUse.isLatched();
  inUse.latch(isLatched);
  if (!listening.isOn()) latchHands(parts, isLatched, at, out);
  log.changed();
}

/** What sounds goes on for as long as keys hold it, and no longer: no chord would end what is latched. */
function listen(parts: EngineParts, isOn: boolean, at: number, out: Message[]): void {
  const { inUse, listening, log, passing, shown } = parts;
  if (isOn !== listening.isOn()) {
    const before = inUse.layout();
    const channel = shown().chord.sounding()?.channel ?? 0;
    listening.turn(isOn);
    inUse.listen(isOn);
    passing.move(before, inUse.layout(), channel, out);
    latchHands(parts, isOn ? false : inUse.latched(), at, out);
  }
  log.changed();
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
