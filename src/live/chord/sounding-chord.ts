/**
 * The voices of the chord that sounds: which keys hold it, on which channels its voices are, and
 * (when it is rolled) which of them are still to come.
 */
import type { PitchClassSet } from '../../harmony/pitch/pitch-class-set.ts';
import type { Message } from '../../midi/message.ts';
import type { Playing } from '../../presets/playing.ts';
import type { HeldKey } from '../hands/held-keys.ts';
import { pitchClassesOf } from '../hands/parts.ts';
import type { Ledger } from '../ledger.ts';
import { channelOfVoice } from '../out-channels.ts';
import { balanceVelocities, spreadVelocities, type Touch } from '../velocity.ts';
import type { Voiced } from '../voicing/voicer-api.ts';

export type Voice = {
  readonly channel: number;
  readonly note: number;
  readonly velocity: number;
  /** When a rolled voice is due; its note-on has not been sent. */
  dueAt?: number;
};

/** What is not readonly changes with every key that comes up. */
export type SoundingChord = {
  /** Keys still down that hold it. */
  keys: readonly HeldKey[];
  /** A key has come up since the chord was read. */
  isLifted: boolean;
  /** When one last came up; undefined: none has. */
  liftedAt: number | undefined;
  /** When it was read. */
  readonly readAt: number;
  /** A finger of it has moved since it was struck. */
  readonly isMoved: boolean;
  /** The keys it was read from, as they were struck; some may be up by now. */
  readonly touch: readonly Touch[];
  /** Their pitch classes. */
  readonly heard: PitchClassSet;
  /** The player's channel. */
  readonly channel: number;
  /** The channel of the top voice, where it has one of its own. */
  readonly topChannel: number;
  readonly voiced: Voiced;
  readonly voices: readonly Voice[];
  /** When the roll began that a correction must not cut short; undefined: it was no roll. */
  readonly rolledFrom: number | undefined;
};

export type Manner = {
  /** Voices that both chords have go on sounding. */
  readonly areCommonTonesHeld: boolean;
  readonly isRolled: boolean;
  /** The chord before rests while this one sounds, instead of being over. */
  readonly isOver?: boolean;
};

/** How a chord begins in the course of the playing. */
export type BeginningManner = Manner & {
  readonly isCorrection: boolean;
  readonly isRevoiced?: boolean;
  /** The player's own choice for the same chord: what it was led from stays. */
  readonly isChosen?: boolean;
};

/** Neither the last chord read once more nor the player's choice for it. */
export function isNext({ isCorrection, isChosen }: BeginningManner): boolean {
  return !isCorrection && isChosen !== true;
}

/** What begins, and what it takes the place of. */
export type Beginning = {
  readonly keys: readonly HeldKey[];
  readonly touch: readonly Touch[];
  readonly voiced: Voiced;
  readonly playing: Playing;
  readonly manner: BeginningManner;
  readonly before: SoundingChord | undefined;
  readonly at: number;
  /** A key that passes has just struck this note: a voice on it need not strike it again. */
  readonly isJustStruck: (channel: number, note: number, at: number) => boolean;
  /** The player's own bass, which is the voicing's: it sounds by its key. */
  readonly ownBass: number | undefined;
};

/** On the player's channel, the top one on its own. */
function voicesOf(beginning: Beginning, channel: number, topChannel: number): Voice[] {
  const { touch, voiced, playing, ownBass } = beginning;
  const { notes, bass } = voiced.voicing;
  const hasBass = bass !== undefined;
  const played = spreadVelocities(touch, notes.length);
  const velocities = balanceVelocities(played, hasBass, playing.balance);
  const voices = notes.map((note, voice) => {
    const isTop = voice === notes.length - 1 || playing.noteExpression === 'all';
    return {
      channel: channelOfVoice(playing, voice, hasBass, isTop ? topChannel : channel),
      note,
      velocity: velocities[voice] ?? 64,
    };
  });
  return hasBass && bass === ownBass ? voices.slice(1) : voices;
}

/**
 * Where the voices are that single keys of a zone act on: on the channel of its top key, which has
 * what bends and presses that key; else on the hand's own.
 */
function topChannelOf({ keys, before, playing }: Beginning): number {
  const own = channelOf(keys, before);
  if (playing.noteExpression === 'none') return own;
  if (keys.length === 0) return before?.topChannel ?? own;
  const top = keys.reduce((one, other) => (other.note > one.note ? other : one));
  return top.channel === top.playedOn ? own : top.channel;
}

function isSame(one: Voice, other: Voice): boolean {
  return one.note === other.note && one.channel === other.channel;
}

export function stopVoice(voice: Voice, ledger: Ledger, out: Message[]): void {
  // A rolled voice whose turn has not come has no note-on to end.
  if (voice.dueAt === undefined) ledger.stop(voice.channel, voice.note, out);
  delete voice.dueAt;
}

export function endChord(chord: SoundingChord, ledger: Ledger, out: Message[]): void {
  for (const voice of chord.voices) stopVoice(voice, ledger, out);
}

/** The chord without its bass, which ends: the player has put another below it. */
export function withoutBass(chord: SoundingChord, ledger: Ledger, out: Message[]): SoundingChord {
  const [bass, ...voices] = chord.voices;
  if (bass === undefined || bass.note !== chord.voiced.voicing.bass) return chord;
  stopVoice(bass, ledger, out);
  return { ...chord, voices };
}

/** When each voice of a roll is due, from `at` on: the whole roll takes the preset's time. */
function rollTimes(count: number, { roll }: Playing, at: number): number[] {
  const step = count > 1 ? (roll.milliseconds * 1000) / (count - 1) : 0;
  const times = Array.from({ length: count }, (_, voice) => Math.round(at + voice * step));
  return roll.direction === 'down' ? times.reverse() : times;
}

function channelOf(keys: readonly HeldKey[], before: SoundingChord | undefined): number {
  return keys[0]?.playedOn ?? before?.channel ?? 0;
}

const none: readonly number[] = [];

/** The new chord begins in place of the one before, if there was one. */
export function beginChord(beginning: Beginning, ledger: Ledger, out: Message[]): SoundingChord {
  const { keys, touch, voiced, playing, manner, before, at, isJustStruck } = beginning;
  const channel = channelOf(keys, before);
  const topChannel = topChannelOf(beginning);
  const voices = voicesOf(beginning, channel, topChannel);
  // Before the old voices end, and with them what is still to come of the roll.
  const rolledFrom = rollStart(beginning);
  const old = before?.voices ?? [];
  const isOwn = (voice: Voice, others: readonly Voice[]): boolean =>
    manner.areCommonTonesHeld &&
    voice.dueAt === undefined &&
    others.some((other) => isSame(voice, other) && other.dueAt === undefined);
  const kept = voices.map((voice) => isOwn(voice, old));
  for (const voice of old) if (!isOwn(voice, voices)) stopVoice(voice, ledger, out);
  const adopted = adoptKeys(voices, kept, keys);
  claimKeys(beginning, adopted, ledger, out);
  const isRoll = rolledFrom !== undefined && playing.roll.milliseconds > 0;
  const times = isRoll ? rollTimes(voices.length, playing, rolledFrom) : none;
  voices.forEach((voice, index) => {
    if (kept[index] || adopted?.has(voice)) return;
    const dueAt = times[index] ?? at;
    if (dueAt > at) voice.dueAt = dueAt;
    else if (isJustStruck(voice.channel, voice.note, at)) ledger.share(voice.channel, voice.note);
    else ledger.start(voice.channel, voice.note, voice.velocity, out);
  });
  const heard = pitchClassesOf(touch);
  return {
    keys,
    isLifted: false,
    liftedAt: undefined,
    readAt: at,
    isMoved: false,
    touch,
    heard,
    channel,
    topChannel,
    voiced,
    voices,
    rolledFrom,
  };
}

/** A late finger or another preset goes on with the roll that is under way. */
function rollStart({ manner, before, at }: Beginning): number | undefined {
  if (manner.isRolled) return at;
  return nextRollAt(before) === undefined ? undefined : before?.rolledFrom;
}

/**
 * Voices that a key already sounds which passed through before it was known to be of a chord: they
 * go on instead of being struck twice, each with the key whose note it takes over.
 */
function adoptKeys(
  voices: readonly Voice[],
  kept: readonly boolean[],
  keys: readonly HeldKey[],
): ReadonlyMap<Voice, HeldKey> | undefined {
  // As with most chords.
  if (!keys.some((key) => key.role === 'through')) return undefined;
  const through = keys.filter((key) => key.role === 'through');
  const adopted = new Map<Voice, HeldKey>();
  voices.forEach((voice, index) => {
    if (kept[index]) return;
    const at = through.findIndex(
      (key) => key.note === voice.note && key.soundsOn === voice.channel,
    );
    for (const key of at < 0 ? [] : through.splice(at, 1)) adopted.set(voice, key);
  });
  return adopted;
}

/** Keys of the chord before that have no part in this one hold nothing any more, or rest. */
function claimKeys(
  { keys, before, manner }: Beginning,
  adopted: ReadonlyMap<Voice, HeldKey> | undefined,
  ledger: Ledger,
  out: Message[],
): void {
  const sounding = adopted === undefined ? [] : [...adopted.values()];
  for (const key of before?.keys ?? []) {
    if (!keys.includes(key)) key.role = manner.isOver === true ? 'resting' : 'spent';
  }
  for (const key of keys) {
    if (key.role === 'through' && !sounding.includes(key)) ledger.stop(key.soundsOn, key.note, out);
    key.role = 'chord';
    key.part = 'chord';
  }
}

/** Starts the rolled voices whose time has come, in the order of their times. */
export function advanceRoll(
  chord: SoundingChord,
  at: number,
  ledger: Ledger,
  out: Message[],
): void {
  if (nextRollAt(chord) === undefined) return;
  const due = chord.voices
    .filter((voice) => voice.dueAt !== undefined && voice.dueAt <= at)
    .sort((one, other) => (one.dueAt ?? 0) - (other.dueAt ?? 0));
  for (const voice of due) {
    delete voice.dueAt;
    ledger.start(voice.channel, voice.note, voice.velocity, out);
  }
}

/** When the next voice of a roll is due, or undefined. */
export function nextRollAt(chord: SoundingChord | undefined): number | undefined {
  let next: number | undefined;
  for (const { dueAt } of chord?.voices ?? []) {
    if (dueAt !== undefined && (next === undefined || dueAt < next)) next = dueAt;
  }
  return next;
}
