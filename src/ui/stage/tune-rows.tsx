/**
 * The tune on the stage: the bars around the place, the chord of now between points, the next ones
 * behind it; in a second row how far it is and what comes after.
 */
import { Box } from 'ink';
import type { Tune, TuneChord } from '../../tune/tune.ts';
import { writtenAgainst } from '../against-written.ts';
import { music, Run, Words } from '../frame/words.tsx';
import type { StageModel } from '../stage-model.ts';
import { widthOf } from '../text.ts';

type Bar = {
  readonly number: number;
  readonly section: string;
  readonly chords: readonly number[];
};

const bars = new WeakMap<Tune, readonly Bar[]>();

/** Bars with the places of their chords; one that begins no chord is not among them. */
function barsOf(tune: Tune): readonly Bar[] {
  const known = bars.get(tune);
  if (known !== undefined) return known;
  const found: { number: number; section: string; chords: number[] }[] = [];
  tune.chords.forEach(({ bar, section, opensSection }, index) => {
    const last = found.at(-1);
    if (last?.number === bar) last.chords.push(index);
    else found.push({ number: bar, section: opensSection ? section : '', chords: [index] });
  });
  bars.set(tune, found);
  return found;
}

function symbolOf(chord: TuneChord | undefined): string {
  return music(chord?.symbol || '–');
}

function textOf(tune: Tune, { section, chords }: Bar): string {
  const symbols = chords.map((index) => symbolOf(tune.chords[index])).join(' ');
  return `${section === '' ? '' : `[${section}] `}${symbols}`;
}

/** As many bars from one on as have room, each with its line and the points. */
function fitting(tune: Tune, from: number, width: number): readonly Bar[] {
  let room = width - 2;
  const all = barsOf(tune).slice(from, from + 16);
  const count = all.findIndex((bar) => {
    room -= widthOf(textOf(tune, bar)) + 3;
    return room < 0;
  });
  return count < 0 ? all : all.slice(0, Math.max(1, count));
}

/** The line of four bars that the place is in, or as much before it as has room. */
function firstShown(tune: Tune, at: number, width: number): number {
  const line = at - (at % 4);
  const shown = fitting(tune, line, width);
  // The bar after it is to be seen too.
  return line + shown.length - 1 > at || line === at ? line : at;
}

/** `mark`: '?' where the place is not sure, '!' where another chord is played than is written. */
type Now = { readonly tune: Tune; readonly now: number; readonly mark: '' | '?' | '!' };

function ChordNow({ index, tune, now, mark }: Now & { readonly index: number }) {
  const symbol = symbolOf(tune.chords[index]);
  if (index === now) {
    return <Run tone={mark === '!' ? 'caution' : 'strong'}>{`▸${symbol}${mark}◂`}</Run>;
  }
  return <Run tone={index < now ? 'quiet' : 'plain'}>{symbol}</Run>;
}

function BarOf({ bar: { section, chords }, ...at }: Now & { readonly bar: Bar }) {
  return (
    <>
      <Run tone="strong">{section === '' ? '' : `[${section}] `}</Run>
      {chords.map((index, turn) => (
        <Run key={index}>
          <Run>{turn === 0 ? '' : ' '}</Run>
          <ChordNow {...at} index={index} />
        </Run>
      ))}
    </>
  );
}

function Bars({ shown, ...at }: Now & { readonly shown: readonly Bar[] }) {
  return (
    <Words>
      {shown.map((bar, place) => (
        <Run key={bar.number}>
          <Run tone="quiet">{place === 0 ? '' : ' │ '}</Run>
          <BarOf {...at} bar={bar} />
        </Run>
      ))}
    </Words>
  );
}

/** 'The Ferryman's Ledger, bar 12 of 32, chorus 2'. */
function placeText({ tune, state }: StageModel, chord: TuneChord | undefined): string {
  const { chorus = 1, isPlayed = false } = state.snapshot.tune ?? {};
  const bar = `${isPlayed ? '' : 'next '}bar ${chord?.bar ?? 0} of ${tune?.bars ?? 0}`;
  const parts = [tune?.title ?? '', bar, chorus > 1 ? `chorus ${chorus}` : ''];
  const oneKey = state.snapshot.isOneKey === true ? 'any key plays the next chord' : '';
  return [...parts, oneKey].filter(Boolean).join(', ');
}

/** Of the stage's rows. */
export function tuneRowsOf({ tune }: StageModel, free: number): 0 | 1 | 2 {
  if (tune === undefined) return 0;
  return free >= 15 ? 2 : 1;
}

type TuneRowsProps = {
  readonly model: StageModel;
  readonly rows: 0 | 1 | 2;
  readonly width: number;
};

export function TuneRows({ model, rows, width }: TuneRowsProps) {
  const { tune } = model;
  if (tune === undefined || rows === 0) return null;
  const { chord: now = 0, isUnsure = false, isPlayed = false } = model.state.snapshot.tune ?? {};
  const isAgainst = isPlayed && writtenAgainst(model.state.snapshot.chords.at(-1)) !== '';
  const mark = isUnsure ? '?' : isAgainst ? '!' : '';
  const at = Math.max(
    0,
    barsOf(tune).findIndex(({ chords }) => chords.includes(now)),
  );
  const shown = fitting(tune, firstShown(tune, at, width), width);
  return (
    <Box flexDirection="column" height={rows} width={width} flexShrink={0} overflowY="hidden">
      <Bars tune={tune} shown={shown} now={now} mark={mark} />
      {rows > 1 && <Words tone="quiet">{placeText(model, tune.chords[now])}</Words>}
    </Box>
  );
}
