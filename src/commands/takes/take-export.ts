/** A take as a MIDI file, a score or a hand-out. */

import { misuse, refusal, type Streams } from '../../cli/command.ts';
import { counted } from '../../cli/counted.ts';
import type { TakeEntry } from '../../io/takes/take-store.ts';
import { progressionOfTake, type TakeWriting, toldOf } from '../../score/take-progression.ts';
import { given } from '../../session/plan.ts';
import { soundedTrack, takeToMidiFile } from '../../take/midi-file.ts';
import { prepareScoreFiles, type ScoreValues } from '../scores/score-files.ts';
import { planWav, type WavValues, wavBytes, wavFile } from '../sound/wav.ts';
import { readWriting, type WritingValues } from './take-writing.ts';

export type ExportValues = ScoreValues &
  WavValues &
  WritingValues & {
    readonly midi?: string;
    readonly 'per-voice'?: boolean;
    readonly title?: string;
    readonly force?: boolean;
  };

/** Says what was written or went wrong; an exit code. */
export async function exportTake(
  entry: TakeEntry,
  values: ExportValues,
  streams: Streams,
): Promise<number> {
  const { metre } = entry.journal.head;
  const writing = readWriting(values.title ?? entry.name, { ...given('metre', metre), ...values });
  if (!writing.ok) return misuse(streams, writing.problem, 'takes');
  const written = { what: 'take', example: 'take.mid' };
  const others = [{ option: '--midi', file: values.midi, written }, wavFile(values)];
  const sound = await planWav(values);
  if (!sound.ok) return refusal(streams, sound, 'takes');
  const scores = prepareScoreFiles(values, values.force === true, others);
  if (!scores.ok) return refusal(streams, scores, 'takes');
  if (!scores.value.isWanted) {
    const problem = "'takes export' needs a file: --midi, --wav, --musicxml, --svg or --hand-out.";
    return misuse(streams, problem, 'takes');
  }
  const progression = progressionOfTake(entry.journal, writing.value);
  const extent = counted(chordCount(entry), 'chord');
  const isPerVoice = values['per-voice'] === true;
  return scores.value.write(progression, streams, {
    '--midi': { bytes: () => midiBytes(entry, writing.value, isPerVoice), extent },
    '--wav': wavBytes({
      midi: () => midiBytes(entry, writing.value, false),
      timbre: sound.value,
      isWanted: (track) => track === soundedTrack,
      extent,
    }),
  });
}

/** One that was voiced anew while it was held is one chord. */
export function chordCount({ journal: { chords } }: TakeEntry): number {
  return chords.filter(({ isRevoiced }) => isRevoiced !== true).length;
}

function midiBytes(
  { journal }: TakeEntry,
  { tempo, metre }: TakeWriting,
  isPerVoice: boolean,
): Uint8Array {
  return takeToMidiFile(journal, {
    ...(journal.head.key !== '' && { key: journal.head.key }),
    ...(tempo !== undefined && { tempo }),
    ...(metre !== undefined && { metre }),
    ...(isPerVoice && { told: toldOf(journal) }),
  });
}
