/** The sound of what is written as a MIDI file, as a WAV file: options that several commands share. */
import { loadAudioLibrary } from '../../io/sound/library.ts';
import { wavPieces } from '../../io/sound/render.ts';
import { type IsWanted, momentsOf } from '../../midi/file-moments.ts';
import { readMidiFile } from '../../midi/read-midi-file.ts';
import { adviseNearest } from '../../presets/nearest.ts';
import { levels } from '../../sound/level.ts';
import { type TimbreName, timbreNames } from '../../sound/timbre.ts';
import type { OtherBytes, OtherFile } from '../scores/score-files.ts';

export const timbreOption = {
  type: 'string',
  value: 'NAME',
  about: `How it sounds: ${timbreNames.join(' (dies away) or ')} (is held)`,
} as const;

export const wavOptions = {
  wav: { type: 'string', value: 'FILE', about: 'Also write how it sounds, as a WAV file' },
  timbre: timbreOption,
} as const;

export type WavValues = {
  readonly wav?: string | undefined;
  readonly timbre?: string | undefined;
};

export type TimbreWish =
  | { readonly ok: true; readonly value: TimbreName }
  | { readonly ok: false; readonly isMisuse: boolean; readonly problem: string };

/** @param isHeard whether anything is to sound at all; a timbre alone is for nothing. */
export function timbreOf(text: string | undefined, isHeard: boolean, how: string): TimbreWish {
  const wrong = (problem: string): TimbreWish => ({ ok: false, isMisuse: true, problem });
  const name = timbreNames.find((each) => each === (text ?? 'struck').trim().toLowerCase());
  if (name === undefined) {
    const advice = adviseNearest(text ?? '', timbreNames);
    return wrong(`'--timbre ${text}': there are ${timbreNames.join(' and ')}${advice}.`);
  }
  if (text !== undefined && !isHeard) {
    return wrong(`'--timbre ${text}': nothing is to sound; add ${how}.`);
  }
  return { ok: true, value: name };
}

/** Whether a WAV file can be made, before any work is done for it. */
export async function planWav(
  { wav, timbre }: WavValues,
  /** What else sounds: whether it was asked for, and how to; absent: nothing else does. */
  listening?: { readonly isWished: boolean; readonly how: string },
): Promise<TimbreWish> {
  const isHeard = wav !== undefined || listening?.isWished === true;
  const hows = ["'--wav FILE.wav'", ...(listening === undefined ? [] : [listening.how])];
  const named = timbreOf(timbre, isHeard, hows.join(' or '));
  if (!named.ok || wav === undefined) return named;
  const library = await loadAudioLibrary();
  return library.ok ? named : { ok: false, isMisuse: false, problem: library.problem };
}

export function wavFile({ wav }: WavValues): OtherFile {
  return { option: '--wav', file: wav, written: { what: 'sound', example: 'sound.wav' } };
}

export type WavSource = {
  readonly midi: () => Uint8Array;
  readonly timbre: TimbreName;
  /** What is to be heard; absent: all. */
  readonly isWanted?: IsWanted;
  readonly extent?: string;
};

/** For a file made here, which can be read. */
export function wavBytes({ midi, timbre, isWanted, extent }: WavSource): OtherBytes[string] {
  return {
    bytes: (show) => {
      const file = readMidiFile(midi());
      if (!file.ok) throw new Error(`a file made here cannot be read: ${file.problem}`);
      return wavPieces({
        moments: () => momentsOf(file.value, isWanted),
        options: { timbre, level: levels.file, isFile: true },
        onProgress: show,
      });
    },
    ...(extent !== undefined && { extent }),
  };
}
