/**
 * How things look: tones (what a word means to the reader) and the signs the terminal can show.
 * Colour only repeats what a word, a sign or weight already says, and is left out when NO_COLOR
 * is set (no-color.org: any value but an empty one). Named terminal colours, so that the player's
 * own scheme decides what they are; none of them blinks.
 */
export type Tone = 'plain' | 'strong' | 'quiet' | 'sounding' | 'caution';

export type Look = {
  readonly hasColour: boolean;
  /** False where only ASCII is safe to print. */
  readonly hasUnicode: boolean;
};

export type Signs = {
  readonly rule: string;
  readonly on: string;
  readonly off: string;
  readonly gone: string;
  readonly pointRight: string;
  readonly pointLeft: string;
  readonly cut: string;
  readonly dash: string;
  readonly becomes: string;
  readonly up: string;
  readonly down: string;
  readonly left: string;
  readonly right: string;
};

const unicodeSigns: Signs = {
  rule: '─',
  on: '●',
  off: '○',
  gone: '×',
  pointRight: '▸',
  pointLeft: '◂',
  cut: '…',
  dash: '–',
  becomes: '→',
  up: '↑',
  down: '↓',
  left: '←',
  right: '→',
};

const asciiSigns: Signs = {
  rule: '-',
  on: '*',
  off: 'o',
  gone: 'x',
  pointRight: '>',
  pointLeft: '<',
  cut: '~',
  dash: '-',
  becomes: '>',
  up: 'Up',
  down: 'Down',
  left: 'Left',
  right: 'Right',
};

export function signsOf(look: Look): Signs {
  return look.hasUnicode ? unicodeSigns : asciiSigns;
}

type Environment = { readonly [name: string]: string | undefined };

/** Reads NO_COLOR and the locale; the first of LC_ALL, LC_CTYPE, LANG that is set decides (POSIX). */
export function detectLook(environment: Environment, platform: string): Look {
  const { NO_COLOR, TERM, LC_ALL, LC_CTYPE, LANG } = environment;
  const locale = LC_ALL || LC_CTYPE || LANG || '';
  // macOS and Windows terminals speak UTF-8 whatever the locale variables say.
  const isAlwaysUnicode = platform === 'darwin' || platform === 'win32';
  return {
    hasColour: !NO_COLOR && TERM !== 'dumb',
    hasUnicode: TERM !== 'linux' && (isAlwaysUnicode || /utf-?8/i.test(locale)),
  };
}

export type ToneProps = {
  readonly bold?: boolean;
  readonly dimColor?: boolean;
  readonly color?: string;
};

export function toneProps(look: Look, tone: Tone): ToneProps {
  switch (tone) {
    case 'plain':
      return {};
    case 'strong':
      return { bold: true };
    case 'quiet':
      return { dimColor: true };
    case 'sounding':
      return look.hasColour ? { bold: true, color: 'cyan' } : { bold: true };
    case 'caution':
      return look.hasColour ? { bold: true, color: 'magenta' } : { bold: true };
  }
}
