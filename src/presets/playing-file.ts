/**
 * How a preset's file writes the way it is played: zones by note name, channels 1–16 as printed on
 * every instrument; inside they are 0–15 as on the wire.
 */
import { type NoteInFile, noteNumber, toRegister } from './note-in-file.ts';
import { formatNoteName } from './note-name.ts';
import { type Playing, plainPlaying } from './playing.ts';

export type PlayingFile = Pick<
  Partial<Playing>,
  'commonTones' | 'latch' | 'roll' | 'noteExpression'
> & {
  readonly zone?: {
    readonly lowest: NoteInFile;
    readonly highest: NoteInFile;
    readonly channels?: readonly number[];
  };
  readonly channels?: { readonly layout: Playing['channels']['layout']; readonly first?: number };
  readonly balance?: Partial<Playing['balance']>;
  readonly hands?: {
    readonly parts?: Playing['hands']['parts'];
    readonly split?: NoteInFile;
    readonly channels?: Playing['hands']['channels'];
  };
};

export function fromPlayingFile(file: PlayingFile): Partial<Playing> {
  const { zone, channels, balance, hands, ...same } = file;
  return {
    ...same,
    ...(zone !== undefined && {
      zone: {
        ...toRegister(zone.lowest, zone.highest),
        ...(zone.channels !== undefined && { channels: zone.channels.map((each) => each - 1) }),
      },
    }),
    ...(channels !== undefined && {
      channels: { layout: channels.layout, first: (channels.first ?? 1) - 1 },
    }),
    ...(balance !== undefined && { balance: { ...plainPlaying.balance, ...balance } }),
    ...(hands !== undefined && {
      hands: {
        ...plainPlaying.hands,
        ...hands,
        split:
          hands.split === undefined
            ? plainPlaying.hands.split
            : (noteNumber(hands.split) ?? plainPlaying.hands.split),
      },
    }),
  };
}

export function toPlayingFile(playing: Partial<Playing>): PlayingFile {
  const { zone, channels, hands, ...same } = playing;
  return {
    ...same,
    ...(zone !== undefined && {
      zone: {
        lowest: formatNoteName(zone.lowest),
        highest: formatNoteName(zone.highest),
        ...(zone.channels !== undefined && { channels: zone.channels.map((each) => each + 1) }),
      },
    }),
    ...(channels !== undefined && {
      channels: { layout: channels.layout, first: channels.first + 1 },
    }),
    ...(hands !== undefined && {
      hands: {
        parts: hands.parts,
        ...(hands.parts === 'by-split' && { split: formatNoteName(hands.split) }),
        channels: hands.channels,
      },
    }),
  };
}
