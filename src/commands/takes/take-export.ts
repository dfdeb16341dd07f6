/** A take as a MIDI file, a score or a hand-out. */

import { failure, misuse, type Streams } from '../../cli/command.ts';
import { counted } from '../../cli/counted.ts';
import type { TakeEntry } from '../../io/takes/take-store.ts';
import { progressionOfTake, type TakeWriting, toldOf } from '../../score/take-progression.ts';
import { given } from '../../session/plan.ts';
import { takeToMidiFile } from '../../take/midi-file.ts';
import { prepareScoreFiles, type ScoreValues } from '../scores/score-files.ts';
import { readWriting, type WritingValues } from './take-writing.ts';

export type ExportValues = ScoreValues &
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
  const others = [{ option: '--midi', file: values.midi, written }];
  const scores = prepareScoreFiles(values, values.force === true, others);
  if (!scores.ok) {
    return scores.isMisuse
      ? misuse(streams, scores.problem, 'takes')
      : failure(streams, scores.problem);
  }
  if (!scores.value.isWanted) {
    const problem = "'takes export' needs a file: --midi, --musicxml, --svg or --hand-out.";
    return misuse(streams, problem, 'takes');
  }
  const progression = progressionOfTake(entry.journal, writing.value);
  const midi = {
    bytes: () => midiBytes(entry, writing.value, values['per-voice'] === true),
    extent: counted(chordCount(entry), 'chord'),
  };
  return scores.value.write(progression, streams, { '--midi': midi });
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
