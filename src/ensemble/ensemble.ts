/**
 * From 'trumpet, alto sax, 2 trombones' or the name of a section to its players, and to the parts
 * that the voices of a chord are given out to.
 */
import { sortedBy } from '../common/sorted-by.ts';
import type { PlayerRange } from '../voicing/players.ts';
import { type Instrument, instrumentById, instruments, namedEnsembles } from './instruments.ts';

export type Player = {
  /** As a score names it: 'Trumpet 2'. */
  readonly name: string;
  readonly abbreviation: string;
  readonly instrument: Instrument;
};

/** One voice's place: a player of one note, or a string of a player of several. */
export type Part = {
  /** The player's place in the ensemble. */
  readonly player: number;
  readonly range: PlayerRange;
};

export type Ensemble = {
  /** As asked for: 'saxes', 'trumpet, trombone'. */
  readonly name: string;
  /** In the order of the score. */
  readonly players: readonly Player[];
  /** Lowest first. */
  readonly parts: readonly Part[];
};

/** More names are a list that went wrong. */
export const mostPlayers = 16;

export type UnknownName = {
  readonly ok: false;
  /** What stands in the way, without a full stop. */
  readonly fault: string;
  /** The word that is no instrument, for advice on what was meant; ''. */
  readonly unknown: string;
};

type Parsed = { readonly ok: true; readonly value: Ensemble } | UnknownName;

function plain(text: string): string {
  return text
    .trim()
    .toLowerCase()
    .replace(/[\s_-]+/g, ' ');
}

/** Everything an instrument is called, in small letters and blanks. */
const instrumentNames: ReadonlyMap<string, Instrument> = new Map(
  instruments.flatMap((each) =>
    [each.id, each.name, ...each.aliases].map((name) => [plain(name), each] as const),
  ),
);

const ensembleNames: ReadonlyMap<string, readonly string[]> = new Map(
  namedEnsembles.flatMap(({ id, aliases, players }) =>
    [id, ...aliases].map((name) => [plain(name), players] as const),
  ),
);

/** For advice and completions. */
export const knownNames: readonly string[] = [
  ...namedEnsembles.map(({ id }) => id),
  ...instruments.map(({ id }) => id),
];

/** Names that a list of singers gives a voice, and a list of players an instrument. */
const twoMeanings: Readonly<Record<string, string>> = {
  alto: 'alto voice or alto sax',
  tenor: 'tenor voice or tenor sax',
  soprano: 'soprano voice or soprano sax',
  baritone: 'baritone voice or baritone sax',
  bass: 'bass voice, double bass or bass guitar',
};

const plurals = [/^(.+s)es$/, /^(.+(?:ch|sh|x))es$/, /^(.+)ies$/, /^(.+)s$/] as const;

function singular(name: string): readonly string[] {
  return [name, ...plurals.flatMap((form) => form.exec(name)?.[1] ?? [])];
}

function found(name: string): Instrument | undefined {
  for (const each of singular(name)) {
    const instrument = instrumentNames.get(each);
    if (instrument !== undefined) return instrument;
  }
  return undefined;
}

/** '2 trumpets', 'trumpet x2', 'trumpet 1': how many, and of what. */
function counted(word: string): { readonly count: number; readonly name: string } {
  const [, before, first] = /^(\d{1,2})\s*x?\s+(.+)$/.exec(word) ?? [];
  if (before !== undefined && first !== undefined) return { count: Number(before), name: first };
  const [, second, behind] = /^(.+?)\s*x\s*(\d{1,2})$/.exec(word) ?? [];
  if (second !== undefined && behind !== undefined) return { count: Number(behind), name: second };
  // A number behind a name is the player's own.
  return { count: 1, name: word.replace(/\s+\d{1,2}$/, '') };
}

function unknown(word: string): UnknownName {
  return { ok: false, fault: `there is no instrument or section '${word}'`, unknown: word };
}

function wrong(fault: string): UnknownName {
  return { ok: false, fault, unknown: '' };
}

type Some = { readonly ok: true; readonly value: readonly Instrument[] } | UnknownName;

function instrumentsOf(word: string, areVoices: boolean): Some {
  const section = ensembleNames.get(plain(word));
  if (section !== undefined) return { ok: true, value: section.map(instrumentById) };
  const { count, name } = counted(plain(word));
  const [meant = name] = singular(name).filter((each) => each in twoMeanings);
  if (!areVoices && twoMeanings[meant] !== undefined) {
    return wrong(`'${word.trim()}' could be ${twoMeanings[meant]}; say which`);
  }
  const instrument = found(name);
  if (instrument === undefined) return unknown(word.trim());
  if (count < 1) return wrong(`'${word.trim()}' is nobody`);
  const value = new Array<Instrument>(Math.min(count, mostPlayers + 1)).fill(instrument);
  return { ok: true, value };
}

function isVoiceName(word: string): boolean {
  const instrument = found(counted(plain(word)).name);
  return instrument?.family === 'voice';
}

/** Players of the same instrument are counted: 'Trumpet 1', 'Trumpet 2'. */
function playersOf(all: readonly Instrument[]): readonly Player[] {
  const seen = new Map<string, number>();
  return all.map((instrument) => {
    const number = (seen.get(instrument.id) ?? 0) + 1;
    seen.set(instrument.id, number);
    const isOnly = all.filter(({ id }) => id === instrument.id).length === 1;
    const behind = isOnly ? '' : ` ${number}`;
    const { name, abbreviation } = instrument;
    return { name: `${name}${behind}`, abbreviation: `${abbreviation}${behind}`, instrument };
  });
}

function partsOf({ instrument }: Player, player: number): readonly Part[] {
  const { strings, range, comfortable } = instrument;
  if (strings === undefined) return [{ player, range: { ...range, comfortable } }];
  const { frets, comfortableFrets, reach } = strings;
  return strings.open.map((open) => ({
    player,
    range: {
      ...{ lowest: open, highest: open + frets },
      comfortable: { lowest: open, highest: open + comfortableFrets },
      string: { open, hand: player, reach },
    },
  }));
}

function middleOf({ range: { comfortable } }: Part): number {
  return (comfortable.lowest + comfortable.highest) / 2;
}

/** Of two players of the same range the first is the higher one. */
function lowestFirst(players: readonly Player[]): readonly Part[] {
  const parts = players.flatMap(partsOf);
  return sortedBy([...parts].reverse(), middleOf);
}

/** Never throws. */
export function parseEnsemble(text: string): Parsed {
  const words = text.split(',').filter((word) => word.trim() !== '');
  if (words.length === 0) return wrong('nobody is named');
  const areVoices = words.length > 1 && words.every(isVoiceName);
  const all: Instrument[] = [];
  for (const word of words) {
    const some = instrumentsOf(word, areVoices);
    if (!some.ok) return some;
    all.push(...some.value);
  }
  if (all.length > mostPlayers) {
    return wrong(`there are more than ${mostPlayers} players; write for them section by section`);
  }
  const players = playersOf(all);
  return { ok: true, value: { name: text.trim(), players, parts: lowestFirst(players) } };
}
