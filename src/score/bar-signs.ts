/**
 * The signs of a form as MusicXML: repeats and endings are bar lines, Segno, Coda, D.C., D.S., Fine,
 * sections and cues are directions, with what they mean for playing beside what is printed.
 *
 * Source: MusicXML 4.0 (W3C Community Group, 2021): repeat, ending, rehearsal, segno, coda, and the
 * attributes dacapo, dalsegno, tocoda, coda, segno and fine of sound.
 */
import { element, type Xml } from './xml.ts';

export type BarSigns = {
  /** The section that begins with the bar; ''. */
  readonly section: string;
  readonly isRepeatStart: boolean;
  /** How often the bars that end here are played; 1: no repeat ends here. */
  readonly times: number;
  readonly ending:
    | {
        readonly numbers: readonly number[];
        readonly isFirstBar: boolean;
        readonly isLastBar: boolean;
      }
    | undefined;
  readonly isSegno: boolean;
  readonly isCoda: boolean;
  readonly isToCoda: boolean;
  readonly isFine: boolean;
  readonly jump:
    | { readonly to: 'start' | 'segno'; readonly until: 'fine' | 'coda' | undefined }
    | undefined;
  readonly barLine: 'single' | 'double' | 'final';
  /** Words over the chords; ticks of the progression. */
  readonly cues: readonly { readonly tick: number; readonly words: string }[];
};

/** A bar without any. */
export const plainSigns: BarSigns = {
  ...{ section: '', isRepeatStart: false, times: 1, ending: undefined, isSegno: false },
  ...{
    isCoda: false,
    isToCoda: false,
    isFine: false,
    jump: undefined,
    barLine: 'single',
    cues: [],
  },
};

/** Ids that jumps and their goals share; a chart has one of each. */
const names = { segno: 'segno', coda: 'coda' } as const;

function direction(
  type: Xml,
  sound: Readonly<Record<string, string>> | undefined,
  staff: '1' | '2' = '1',
): Xml {
  return element(
    'direction',
    { placement: 'above' },
    element('direction-type', {}, type),
    element('staff', {}, staff),
    ...(sound === undefined ? [] : [element('sound', sound)]),
  );
}

function words(text: string): Xml {
  return element('words', {}, text);
}

/** At the beginning of a bar: section, Segno, Coda. */
export function openingDirections({ section, isSegno, isCoda }: BarSigns): readonly Xml[] {
  return [
    ...(section === '' ? [] : [direction(element('rehearsal', {}, section), undefined)]),
    ...(isSegno ? [direction(element('segno'), { segno: names.segno })] : []),
    ...(isCoda ? [direction(element('coda'), { coda: names.coda })] : []),
  ];
}

export function jumpWords({ to, until }: NonNullable<BarSigns['jump']>): string {
  const word = to === 'start' ? 'D.C.' : 'D.S.';
  if (until === undefined) return word;
  return `${word} al ${until === 'fine' ? 'Fine' : 'Coda'}`;
}

/** At the end of a bar: To Coda, Fine, D.C., D.S. */
export function closingDirections({ isToCoda, isFine, jump }: BarSigns): readonly Xml[] {
  return [
    ...(isToCoda ? [direction(words('To Coda'), { tocoda: names.coda })] : []),
    ...(isFine ? [direction(words('Fine'), { fine: 'yes' })] : []),
    ...(jump === undefined
      ? []
      : [
          direction(
            words(jumpWords(jump)),
            jump.to === 'start' ? { dacapo: 'yes' } : { dalsegno: names.segno },
          ),
        ]),
  ];
}

/** Undefined where the bar line is a plain one. */
export function leftBarLine({ isRepeatStart, ending }: BarSigns): Xml | undefined {
  const bracket = ending?.isFirstBar === true ? [endingElement(ending.numbers, 'start')] : [];
  if (!isRepeatStart && bracket.length === 0) return undefined;
  return element(
    'barline',
    { location: 'left' },
    ...(isRepeatStart ? [element('bar-style', {}, 'heavy-light')] : []),
    ...bracket,
    ...(isRepeatStart ? [element('repeat', { direction: 'forward' })] : []),
  );
}

const styles = { single: undefined, double: 'light-light', final: 'light-heavy' } as const;

export function rightBarLine(
  { times, ending, barLine }: BarSigns,
  isLast: boolean,
): Xml | undefined {
  const isRepeat = times > 1;
  const style = isRepeat || isLast ? 'light-heavy' : styles[barLine];
  const bracket =
    ending?.isLastBar === true
      ? [endingElement(ending.numbers, isRepeat ? 'stop' : 'discontinue')]
      : [];
  if (style === undefined && bracket.length === 0) return undefined;
  const often: Readonly<Record<string, string>> =
    times > 2 && ending === undefined ? { times: String(times) } : {};
  return element(
    'barline',
    { location: 'right' },
    ...(style === undefined ? [] : [element('bar-style', {}, style)]),
    ...bracket,
    ...(isRepeat ? [element('repeat', { direction: 'backward', ...often })] : []),
  );
}

function endingElement(numbers: readonly number[], type: 'start' | 'stop' | 'discontinue'): Xml {
  const printed = numbers.map((number) => `${number}.`).join(' ');
  return element(
    'ending',
    { number: numbers.join(','), type },
    ...(type === 'start' ? [printed] : []),
  );
}

/** @param offset ticks behind the note it stands before. */
export function cueDirection(text: string, offset: number): Xml {
  return element(
    'direction',
    { placement: 'above' },
    element('direction-type', {}, element('words', { 'font-style': 'italic' }, text)),
    ...(offset === 0 ? [] : [element('offset', {}, String(offset))]),
    element('staff', {}, '1'),
  );
}
