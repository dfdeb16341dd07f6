/** Why no part of a file was voiced: what was looked at, and what would do. */
import { chordMoments, type FilePart, momentsTogether } from './file-parts.ts';
import type { PartWish } from './harmony-parts.ts';

/** Parts that are named; a file may have a hundred. */
const mostNamed = 6;

export type LookedAt = {
  /** All parts of the file. */
  readonly parts: readonly FilePart[];
  readonly wish: PartWish;
  /** Broken chords that the parts have, where they were not asked for. */
  readonly broken: readonly FilePart[];
  /** Chord symbols stand in the file, and no chords. */
  readonly hasSymbols: boolean;
};

/** Without a full stop. */
export function noChords({ parts, wish, broken, hasSymbols }: LookedAt): string {
  const asked = askedFor(wish);
  const withChords = parts.filter((part) => part.chords > 0);
  if (asked !== '' && withChords.length > 0) {
    const others = withChords.slice(0, 4).map(placeName).join(', ');
    return `there are no chords on ${asked}; they are on ${others}`;
  }
  if (parts.length === 0)
    return 'it has no notes outside percussion, so there is no chord to voice';
  const shown = parts.slice(0, mostNamed).map((part) => `${placeName(part)} (${notesOf(part)})`);
  const more = parts.length > mostNamed ? `, and ${parts.length - mostNamed} more` : '';
  return [
    `no part of it has three different notes struck together: ${shown.join(', ')}${more}`,
    ...brokenAdvice(broken),
    ...togetherAdvice(parts, wish),
    ...(hasSymbols ? ['its chord symbols are left out by --ignore-symbols'] : []),
  ].join('; ');
}

function brokenAdvice(broken: readonly FilePart[]): readonly string[] {
  const most = broken.reduce<FilePart | undefined>(
    (best, part) => (part.chords > (best?.chords ?? 0) ? part : best),
    undefined,
  );
  if (most === undefined) return [];
  return [`--broken reads ${count(most.chords, 'broken chord')} on ${placeName(most)}`];
}

/** Lines may make chords together; whether they are to be is for who knows the piece to say. */
function togetherAdvice(parts: readonly FilePart[], wish: PartWish): readonly string[] {
  const tracks = [...new Set(parts.map(({ track }) => track))];
  const isNamed = wish.tracks !== undefined || wish.channels !== undefined;
  if (isNamed || parts.length < 2 || parts.length > mostNamed) return [];
  const chords = chordMoments(momentsTogether(parts)).length;
  if (chords === 0) return [];
  const how =
    tracks.length > 1
      ? `--track ${tracks.join(',')}`
      : `--channel ${parts.map(({ channel }) => channel + 1).join(',')}`;
  return [`together they make ${count(chords, 'chord')}: ${how} reads them as one`];
}

function askedFor({ tracks, channels }: PartWish): string {
  return [
    ...(tracks === undefined ? [] : [listed('track', tracks)]),
    ...(channels === undefined
      ? []
      : [
          listed(
            'channel',
            channels.map((channel) => channel + 1),
          ),
        ]),
  ].join(', ');
}

function placeName({ track, channel }: FilePart): string {
  return `track ${track} channel ${channel + 1}`;
}

function notesOf({ notes }: FilePart): string {
  return count(notes, 'note');
}

function count(number: number, thing: string): string {
  return `${number} ${thing}${number === 1 ? '' : 's'}`;
}

function listed(what: string, numbers: readonly number[]): string {
  return `${what}${numbers.length > 1 ? 's' : ''} ${numbers.join(', ')}`;
}
