/** What to do with a file that is no MIDI file and that another command reads. */
import { ownCommand, typedWord } from '../../cli/own-command.ts';
import { fileKind } from '../../io/files/file-kind.ts';

/** One sentence, or undefined where no command of ours reads it. */
export function strangeInput(name: string): string | undefined {
  const what = whatItIs(name);
  if (what === undefined) return undefined;
  const command = ownCommand(`chart ${typedWord(name)} --midi voiced.mid`);
  return `${name} is ${what}, no MIDI file; '${command}' voices its chord symbols.`;
}

function whatItIs(name: string): string | undefined {
  const kind = fileKind(name);
  const isScore = kind === 'musicxml' || (kind === 'zip' && /\.mxl$/i.test(name));
  if (isScore) return 'a MusicXML score';
  return kind === 'other' && /\.txt$/i.test(name) ? 'a text' : undefined;
}
