/** Which parts of a MIDI file are read, from the words of a command line. */
import type { Result } from '../common/result.ts';
import type { PartWish } from '../revoice/harmony-parts.ts';

export const partOptions = {
  track: { type: 'string', value: 'N,N', about: 'Read these tracks, counted from 1' },
  channel: { type: 'string', value: 'N,N', about: 'Read these channels, 1 to 16' },
} as const;

export type PartValues = { readonly track?: string; readonly channel?: string };

/** The problem is one sentence. */
export function wishOf({ track, channel }: PartValues): Result<PartWish> {
  const tracks = numbersOf(track, /^[1-9]\d{0,4}$/);
  if (tracks === 'wrong') {
    const problem = `'--track ${track}': tracks are counted from 1; write several as 2,3.`;
    return { ok: false, problem };
  }
  const channels = numbersOf(channel, /^([1-9]|1[0-6])$/);
  if (channels === 'wrong') {
    const problem = `'--channel ${channel}': channels are 1 to 16; write several as 1,2.`;
    return { ok: false, problem };
  }
  return {
    ok: true,
    value: {
      ...(tracks !== undefined && { tracks }),
      ...(channels !== undefined && { channels: channels.map((each) => each - 1) }),
    },
  };
}

function numbersOf(
  text: string | undefined,
  form: RegExp,
): readonly number[] | 'wrong' | undefined {
  if (text === undefined) return undefined;
  const words = text.split(',').map((word) => word.trim());
  return words.every((word) => form.test(word)) ? words.map(Number) : 'wrong';
}
