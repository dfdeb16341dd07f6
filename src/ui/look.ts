/**
 * How things look: tones (what a word means to the reader) and the signs the terminal can show.
 * Colour only repeats what a word, a sign or weight already says, and is left out when NO_COLOR
 * is set (no-color.org: any value but an empty one). Named terminal colours, so that the player's
 * own scheme decides what they are; none of them blinks.
 */
/** 'selected': text that the next character replaces, shown reversed. */
export type Tone = 'plain' | 'strong' | 'quiet' | 'sounding' | 'caution' | 'selected';

export type Look = {
  readonly hasColour: boolean;
  /** False where only ASCII is safe to print. */
  readonly hasUnicode: boolean;
  /** For a dark background (also when absent), a light one, or with nothing dim and no colour. */
  readonly theme?: 'dark' | 'light' | 'contrast';
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
  readonly favourite: string;
  readonly plays: string;
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
  favourite: '★',
  plays: '♪',
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
  favourite: '+',
  plays: '@',
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
  readonly inverse?: boolean;
  readonly color?: string;
};

/** Named colours of the 16 every terminal has, none of which blinks; dark ones on light paper. */
const colours = {
  dark: { sounding: 'cyan', caution: 'magenta' },
  light: { sounding: 'blue', caution: 'red' },
} as const;

export function toneProps(look: Look, tone: Tone): ToneProps {
  if (look.theme === 'contrast') return contrastProps(tone);
  const { sounding, caution } = colours[look.theme ?? 'dark'];
  switch (tone) {
    case 'plain':
      return {};
    case 'strong':
      return { bold: true };
    case 'quiet':
      return { dimColor: true };
    case 'sounding':
      return look.hasColour ? { bold: true, color: sounding } : { bold: true };
    case 'caution':
      return look.hasColour ? { bold: true, color: caution } : { bold: true };
    case 'selected':
      return { inverse: true };
  }
}

/** Nothing dim, nothing coloured: full strength everywhere, weight and reversal for what matters. */
function contrastProps(tone: Tone): ToneProps {
  switch (tone) {
    case 'plain':
    case 'quiet':
      return {};
    case 'strong':
    case 'sounding':
      return { bold: true };
    case 'caution':
      return { bold: true, inverse: true };
    case 'selected':
      return { inverse: true };
  }
}
