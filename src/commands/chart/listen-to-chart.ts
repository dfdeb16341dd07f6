/** `handspan chart --listen`: the voiced chart at its tempo, with a click and a count-in on asking. */
import type { Chart } from '../../chart/chart.ts';
import { chartToMidiFile } from '../../chart/midi-file.ts';
import { chartReport } from '../../chart/report.ts';
import { exitCodes, failure, type Streams } from '../../cli/command.ts';
import type { Result } from '../../common/result.ts';
import { counted } from '../../common/words.ts';
import type { Treatment } from '../../compare/treatment.ts';
import type { TimbreName } from '../../sound/timbre.ts';
import { listenTo } from '../sound/listen.ts';
import { type Click, clickEvents, pieceOf } from '../sound/piece.ts';

export type ListenWish = {
  readonly fromBar: number;
  readonly isLooping: boolean;
  readonly hasClick: boolean;
  readonly isCountedIn: boolean;
};

type ListenValues = {
  readonly listen?: boolean;
  readonly 'from-bar'?: string;
  readonly loop?: boolean;
  readonly click?: boolean;
  readonly 'count-in'?: boolean;
};

/** Undefined: nobody listens. */
export function listenWish(values: ListenValues): Result<ListenWish | undefined> {
  const { listen, 'from-bar': fromBar, loop, click, 'count-in': isCountedIn } = values;
  if (listen !== true) {
    const given = [
      ...(fromBar === undefined ? [] : ['--from-bar']),
      ...(loop === true ? ['--loop'] : []),
      ...(click === true ? ['--click'] : []),
      ...(isCountedIn === true ? ['--count-in'] : []),
    ];
    if (given.length === 0) return { ok: true, value: undefined };
    return { ok: false, problem: `'${given[0]}' is for listening; add '--listen'.` };
  }
  const bar = fromBar === undefined ? 0 : Number(fromBar);
  if (fromBar !== undefined && !/^[1-9]\d{0,5}$/u.test(fromBar.trim())) {
    return {
      ok: false,
      problem: `'--from-bar ${fromBar}': bars are counted from 1; give the number of one, such as 9.`,
    };
  }
  const isLooping = loop === true;
  const value = {
    fromBar: bar,
    isLooping,
    hasClick: click === true,
    isCountedIn: isCountedIn === true,
  };
  return { ok: true, value };
}

/** Quarter notes closer than this are at one place. */
const same = 1e-6;

type Beat = { readonly bar: number; readonly beat: number; readonly start: number };

/** Every beat of the chart as it is played, in quarter notes from its beginning; bar 0 is a pick-up. */
function* beatsOf({ metres, pickup, bars }: Chart): Generator<Beat, void> {
  const metreAt = (at: number) => metres.findLast((metre) => metre.start <= at + same) ?? metres[0];
  const first = metreAt(0);
  const length = 4 / first.unit;
  for (let start = pickup % length; start < pickup; start += length) {
    yield { bar: 0, beat: 0, start };
  }
  let start = pickup;
  for (let bar = 1; bar <= bars; bar += 1) {
    const { beats, unit } = metreAt(start);
    for (let beat = 1; beat <= beats; beat += 1) {
      yield { bar, beat, start };
      start += 4 / unit;
    }
  }
}

/** `midi`: what sounds of it, where that is not the voicings as they are. */
export type Heard = Treatment & { readonly midi?: Uint8Array };

/** Treatments follow each other, each said before it sounds. */
export async function listenToCharts(
  treatments: readonly Heard[],
  wish: ListenWish,
  timbre: TimbreName,
  streams: Streams,
): Promise<number> {
  if (treatments.length > 1 && wish.isLooping) {
    return failure(streams, "'--loop' is for one treatment; leave out '--loop' or '--compare'.");
  }
  for (const treatment of treatments) {
    if (treatment.name !== '') streams.stderr.write(`handspan: ${treatment.name}\n`);
    const code = await listenToChart(treatment, wish, timbre, streams);
    if (code !== exitCodes.fine) return code;
  }
  return exitCodes.fine;
}

function listenToChart(
  { voiced, midi = chartToMidiFile(voiced) }: Heard,
  wish: ListenWish,
  timbre: TimbreName,
  streams: Streams,
): Promise<number> {
  const { chart } = voiced;
  const quarter = (60 / chart.tempo) * (chart.metres[0].unit / 4);
  const beats = [...beatsOf(chart)];
  const begin = beats.find(({ bar, beat }) => bar === wish.fromBar && beat === 1);
  if (wish.fromBar > chart.bars || (wish.fromBar > 0 && begin === undefined)) {
    const problem = `'--from-bar ${wish.fromBar}': the chart has ${counted(chart.bars, 'bar')} as it is played.`;
    return Promise.resolve(failure(streams, problem));
  }
  const from = (begin?.start ?? 0) * quarter;
  const clicks = beats.map(({ beat, start }) => ({ at: start * quarter, isAccent: beat === 1 }));
  const before = wish.isCountedIn ? countIn(chart, begin?.start ?? 0, quarter) : [];
  const report = chartReport(voiced);
  const chords = voiced.chords.map(({ chord }, place) => {
    const told = report.chords[place];
    const notes = told?.notes.map(({ name }) => name).join(' ') ?? '';
    const text = `${`${chord.bar}.${chord.beat}`.padEnd(7)}${chord.text.padEnd(12)}${notes}`;
    return { at: chord.start * quarter, text };
  });
  const piece = pieceOf(midi, chords, wish.hasClick ? clicks : []);
  const { isLooping } = wish;
  return listenTo(piece, { timbre, from, isLooping, countIn: clickEvents(before) }, streams);
}

/** Seconds before it begins: a bar of the metre there; before a pick-up, as much less as that takes. */
function countIn({ metres, pickup }: Chart, start: number, quarter: number): readonly Click[] {
  const { beats, unit } = metres.findLast((metre) => metre.start <= start + same) ?? metres[0];
  const beat = 4 / unit;
  const isPickup = start === 0 && pickup > 0;
  const count = isPickup ? Math.ceil(beats - pickup / beat - same) : beats;
  // Beats go on from the count into the pick-up, also where it begins between two.
  const rest = isPickup ? beat - (pickup % beat || beat) : 0;
  return Array.from({ length: count }, (_, place) => ({
    at: -((count - place) * beat - rest) * quarter,
    isAccent: place === 0,
  }));
}
