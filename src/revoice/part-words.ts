/** Parts of a file in words. */
import type { FilePart } from './file-parts.ts';
import type { LeftPart, WhyLeft } from './harmony-parts.ts';

const reasons: Readonly<Record<WhyLeft, string>> = {
  above: 'a line above the chords',
  apart: 'it does not begin with the chords',
  chords: 'chords of its own',
  take: 'as the take has it',
};

/** "track 2 'Bass' channel 1". */
export function nameOfPart({ track, channel, name }: FilePart): string {
  const quoted = name.trim() === '' ? '' : ` '${name.replace(/\p{Cc}/gu, ' ').trim()}'`;
  return `track ${track}${quoted} channel ${channel + 1}`;
}

/** Each with why it was left alone. */
export function leftParts(left: readonly LeftPart[]): readonly string[] {
  return left.map(({ part, why }) => `${nameOfPart(part)} (${reasons[why]})`);
}
