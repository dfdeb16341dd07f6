/** What the engine is made of: one of each, shared by all that happens to keys and messages. */
import { earlier } from '../common/earlier.ts';
import type { Message } from '../midi/message.ts';
import { createTaking, type Taking } from './choosing/taking.ts';
import { createChordPlayer } from './chord/chord-player.ts';
import { createSongClock, type SongClock } from './clock/song-clock.ts';
import { type ControlReader, createControlReader } from './controllers/controls.ts';
import { createKeyPressure, type KeyPressure } from './controllers/key-pressure.ts';
import { createNoteExpressions, type NoteExpressions } from './controllers/note-expression.ts';
import { createPassing, type Passing } from './controllers/passing.ts';
import { createZones, type Zones } from './controllers/zones.ts';
import type { Setup } from './engine-api.ts';
import type { FileKnowledge } from './file-knowledge.ts';
import { createHandPlayer } from './hands/hand-player.ts';
import type { HandPlayer } from './hands/hand-player-api.ts';
import { createHands, type Hands } from './hands/hands.ts';
import { createHeldKeys, type HeldKeys } from './hands/held-keys.ts';
import { createLoneBass } from './hands/lone-bass.ts';
import { createLedger, type Ledger } from './ledger.ts';
import { createListening, type Listening } from './listening/listening.ts';
import { createLog, type Log } from './log.ts';
import { createNeighbours, type NeighboursBeside } from './neighbours.ts';
import { createRinging, type Ringing } from './ringing.ts';
import { createSetupInUse, type SetupInUse } from './setup-in-use.ts';
import { createOneKey, type OneKey } from './tune/one-key.ts';
import { createTuneOnStage, type TuneOnStage } from './tune/tune-on-stage.ts';
import type { Touch } from './velocity.ts';

export type EngineParts = {
  readonly ledger: Ledger;
  readonly log: Log;
  readonly passing: Passing;
  readonly controls: ControlReader;
  readonly held: HeldKeys;
  readonly pressure: KeyPressure;
  readonly zones: Zones;
  readonly expression: NoteExpressions;
  readonly ringing: Ringing;
  readonly neighbours: NeighboursBeside;
  readonly taking: Taking;
  readonly listening: Listening;
  readonly tune: TuneOnStage;
  readonly oneKey: OneKey;
  readonly songClock: SongClock;
  readonly inUse: SetupInUse;
  readonly hands: Hands;
  /** The hand that views show, which is the one that played last; there is always one. */
  readonly shown: () => HandPlayer;
  readonly show: (hand: HandPlayer) => void;
  /** When a hand or listening has something due. */
  readonly deadline: () => number | undefined;
  /** What is due at `at` or before is done. */
  readonly advance: (at: number, out: Message[]) => void;
  /** To the player; '' says nothing. */
  readonly say: (sentence: string) => void;
};

export function createEngineParts(first: Setup, known?: FileKnowledge): EngineParts {
  const ledger = createLedger();
  const log = createLog();
  const held = createHeldKeys();
  const ringing = createRinging();
  const neighbours = createNeighbours(held);
  const loneBass = createLoneBass();
  const tune = createTuneOnStage();
  const inUse = createSetupInUse(first);
  const { isJustStruck } = neighbours;
  const { noteWithdrawn } = ringing;
  let latest: HandPlayer | undefined;

  const hands = createHands((id) => {
    const neighboursOf = (keys: readonly Touch[]) => neighbours.of(keys, id);
    const around = { ledger, log, neighboursOf, isJustStruck, noteWithdrawn, tune };
    const chord = createChordPlayer(inUse.setup(), around, known);
    const latched = inUse.latched();
    // Before it has a chord, whenever that is.
    if (latched !== undefined) chord.latch(latched, 0, []);
    return createHandPlayer(chord, {
      held,
      areMomentsWhole: known?.areMomentsWhole === true,
      ledger,
      gathering: inUse.gathering,
      loneBass,
      isOwn: (key) => key.hand === id,
      noteWithdrawn,
    });
  });

  const shown = (): HandPlayer => latest ?? hands.at(inUse.handFor(0));
  const listening = createListening({ voicer: () => shown().chord.voicer(), log, tune });

  return {
    ledger,
    log,
    passing: createPassing(),
    controls: createControlReader(),
    held,
    pressure: createKeyPressure(held),
    zones: createZones(),
    expression: createNoteExpressions(),
    ringing,
    neighbours,
    taking: createTaking(),
    listening,
    deadline: () => earlier(hands.deadline(), listening.deadline()),
    advance(at, out) {
      hands.advance(at, out);
      listening.advance(at, out);
    },
    tune,
    oneKey: createOneKey(tune, inUse),
    songClock: createSongClock(),
    inUse,
    hands,
    shown,
    show: (hand) => {
      latest = hand;
    },
    say: (sentence) => {
      if (sentence !== '') log.say(sentence);
    },
  };
}
