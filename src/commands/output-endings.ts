/**
 * Whether a file that is written has a name of its kind: a WAV file called 'x.mp3' is one that no
 * player opens. Said before any work is done.
 */
import { placeOf } from '../io/files/output-place.ts';

type Kind = {
  /** What is written, with its article. */
  readonly called: string;
  /** The first is the one that is advised. */
  readonly endings: readonly string[];
  /** A text may go without an ending. */
  readonly isText?: boolean;
};

const midi: Kind = { called: 'a MIDI file', endings: ['.mid', '.midi', '.smf', '.kar'] };

const kinds: { readonly [option: string]: Kind } = {
  '--midi': midi,
  '--record': midi,
  '--out': midi,
  '--wav': { called: 'a WAV file', endings: ['.wav', '.wave'] },
  '--musicxml': { called: 'MusicXML', endings: ['.musicxml', '.xml'] },
  '--svg': { called: 'a picture as SVG', endings: ['.svg'] },
  '--chart': {
    called: 'a chart as text',
    endings: ['.txt', '.chart', '.text', '.md'],
    isText: true,
  },
};

const anyEnding = /\.[a-z][a-z0-9]*$/iu;

/**
 * "'--wav x.mp3' would be a WAV file: name it x.wav.", or ''. What goes to a pipe or a device may
 * have any name; a name that cannot be written at all is no matter of its ending.
 */
export function endingProblem(option: string, file: string | undefined): string {
  const kind = kinds[option];
  if (kind === undefined || file === undefined || /^\s*$|^-$|[\\/]$/u.test(file)) return '';
  if (placeOf(file).kind !== 'file') return '';
  const [ending] = anyEnding.exec(file) ?? [];
  if (ending === undefined && kind.isText === true) return '';
  if (ending !== undefined && kind.endings.includes(ending.toLowerCase())) return '';
  const [advised = ''] = kind.endings;
  const better = `${file.replace(anyEnding, '')}${advised}`;
  return `'${option} ${file}' would be ${kind.called}: name it ${better}.`;
}
