/**
 * In which order the bars of a form are played: repeats with their endings, then D.C. and D.S., to
 * Fine or over To Coda to the Coda.
 *
 * Once a D.C. or D.S. has led back, repeats are not taken again and the last ending is played:
 * Read, Music Notation (2nd ed. 1979), ch. 14 (from memory). A plain D.C. or D.S. goes to whichever of
 * To Coda and Fine comes first; common practice, no source.
 */
import type { Jump, TextPlace, WrittenBar } from './form.ts';
import type { Fault } from './layout-state.ts';

export type PlayOrder = {
  /** Places in the form, as they are played. */
  readonly order: readonly number[];
  readonly faults: readonly Fault[];
  /** Bars that nothing leads to, and the like. */
  readonly remarks: readonly Fault[];
};

/** Bars of one chart: more is a mistake with a repeat rather than music. */
const mostBars = 200_000;

type Span = { readonly from: number; readonly to: number };
type EndingSpan = Span & { readonly numbers: readonly number[] };

/** Bars that are played several times. */
type Block = Span & {
  readonly times: number;
  /** Without any the whole is played again. */
  readonly endings: readonly EndingSpan[];
};

function endingsFrom(bars: readonly WrittenBar[], from: number): readonly EndingSpan[] {
  const spans: EndingSpan[] = [];
  for (let at = from; bars[at]?.ending?.isFirstBar === true; ) {
    let to = at;
    while (bars[to]?.ending?.isLastBar === false) to += 1;
    spans.push({ from: at, to, numbers: bars[at]?.ending?.numbers ?? [] });
    at = to + 1;
  }
  return spans;
}

type Blocks = { readonly blocks: readonly Block[]; readonly faults: readonly Fault[] };

/** The block that ends here or has its endings here. */
function blockAt(bars: readonly WrittenBar[], from: number, at: number): Block | undefined {
  const bar = bars[at];
  if (bar?.ending?.isFirstBar !== true) {
    const times = bar?.times ?? 1;
    return times > 1 ? { from, to: at, times, endings: [] } : undefined;
  }
  const endings = endingsFrom(bars, at);
  const to = endings.at(-1)?.to ?? at;
  const most = Math.max(...endings.flatMap(({ numbers }) => numbers));
  // One bracket alone that leads back: the next time goes by it.
  const isLone = endings.length === 1 && (bars[to]?.times ?? 1) > 1;
  return { from, to, times: isLone ? most + 1 : most, endings };
}

/** Where a repeat begins: at its sign, behind the repeat before, or at the first full bar. */
function blocksOf(bars: readonly WrittenBar[]): Blocks {
  const faults: Fault[] = [];
  const blocks: Block[] = [];
  const first = bars[0]?.isPickup === true ? 1 : 0;
  let start = first;
  for (let at = 0; at < bars.length; at += 1) {
    if (bars[at]?.isRepeatStart === true) start = Math.max(at, first);
    const block = blockAt(bars, start, at);
    if (block === undefined) continue;
    blocks.push(block);
    if (block.endings.length > 0) faults.push(...faultsOfEndings(bars, block));
    at = block.to;
    start = block.to + 1;
  }
  return { blocks, faults };
}

const ordinals = ['1st', '2nd', '3rd'];

function faultsOfEndings(
  bars: readonly WrittenBar[],
  { from: start, endings }: Block,
): readonly Fault[] {
  const faults: Fault[] = [];
  const say = (at: number, message: string) => {
    const { line, column } = bars[at] ?? { line: 1, column: 1 };
    faults.push({ line, column, message });
  };
  const numbers = endings.flatMap((each) => each.numbers);
  const times = Math.max(...numbers);
  const opening = endings[0]?.from ?? start;
  if (!numbers.includes(1)) {
    // What else is wrong follows from that, and would be mended the wrong way.
    say(
      opening,
      `Ending ${Math.min(...numbers)} has no first one before it; write [1. where the bars of the first time begin, and :| at their end.`,
    );
    return faults;
  }
  if (opening === start) {
    say(opening, 'Nothing is repeated before this ending; write |: where the repeat begins.');
  }
  for (let time = 1; time <= times; time += 1) {
    const count = numbers.filter((number) => number === time).length;
    const name = ordinals[time - 1] ?? `${time}th`;
    if (count === 0) say(opening, `There is no ending for the ${name} time.`);
    if (count > 1) say(opening, `There are two endings for the ${name} time.`);
  }
  for (const { from, to, numbers: own } of endings) {
    const isLast = own.every((number) => number === times);
    if ((!isLast || endings.length === 1) && (bars[to]?.times ?? 1) === 1) {
      say(from, `Ending ${own.join(', ')} leads on and not back; write :| at its end.`);
    }
  }
  return faults;
}

type Mode = { readonly fine: boolean; readonly coda: boolean };
const plainly: Mode = { fine: false, coda: false };

type Course = {
  readonly bars: readonly WrittenBar[];
  readonly blocks: readonly Block[];
  readonly blockOf: readonly (Block | undefined)[];
  readonly order: number[];
  readonly done: Set<number>;
  mode: Mode;
  isLedBack: boolean;
  /** Which time the block is played. */
  time: number;
  block: Block | undefined;
};

function has(bars: readonly WrittenBar[], sign: 'fine' | 'toCoda'): boolean {
  return bars.some((bar) => bar[sign] !== undefined);
}

function modeOf({ until }: Jump, bars: readonly WrittenBar[]): Mode {
  if (until !== undefined) return { fine: until === 'fine', coda: until === 'coda' };
  return { fine: has(bars, 'fine'), coda: has(bars, 'toCoda') };
}

function nameOf({ to, until }: Jump): string {
  const word = to === 'start' ? 'D.C.' : 'D.S.';
  return until === undefined ? word : `${word} al ${until === 'fine' ? 'Fine' : 'Coda'}`;
}

function faultAt({ line, column }: TextPlace, message: string): Fault {
  return { line, column, message };
}

/** What a D.C. or D.S. needs and has not. */
function wantingOf(jump: Jump, bars: readonly WrittenBar[]): readonly string[] {
  const name = nameOf(jump);
  const { until } = jump;
  const [hasFine, leavesForCoda] = [has(bars, 'fine'), has(bars, 'toCoda')];
  const found: readonly (readonly [isWanting: boolean, message: string])[] = [
    [
      jump.to === 'segno' && !bars.some(({ isSegno }) => isSegno),
      `'${name}' has no sign to go back to; write Segno at the beginning of a bar.`,
    ],
    [
      until === 'fine' && !hasFine,
      `'${name}' has no Fine to end at; write Fine at the end of a bar.`,
    ],
    [
      until === 'coda' && !leavesForCoda,
      `'${name}' has nothing to leave for the Coda at; write To Coda at the end of a bar.`,
    ],
    [
      until === undefined && !hasFine && !leavesForCoda,
      `'${name}' goes round for ever: write Fine, or To Coda and Coda, where it ends.`,
    ],
  ];
  return found.filter(([isWanting]) => isWanting).map(([, message]) => message);
}

/** What is wrong with the signs before anything is played. */
function faultsOfSigns(bars: readonly WrittenBar[]): readonly Fault[] {
  const codas = bars.filter(({ isCoda }) => isCoda);
  const jumps = bars.flatMap(({ jump }) => (jump === undefined ? [] : [jump]));
  const toCodas = bars.flatMap(({ toCoda }) => (toCoda === undefined ? [] : [toCoda]));
  const fines = bars.flatMap(({ fine }) => (fine === undefined ? [] : [fine]));
  const again = (name: string) => (bar: WrittenBar) =>
    faultAt(bar, `There is one ${name} in a chart, and this is another.`);
  const idle = jumps.length > 0 ? [] : [...toCodas, ...fines];
  return [
    ...bars
      .filter(({ isSegno }) => isSegno)
      .slice(1)
      .map(again('Segno')),
    ...codas
      .slice(1)
      .map((bar) =>
        faultAt(
          bar,
          'There is one Coda in a chart, and this is another; the bar that leaves for it has To Coda at its end.',
        ),
      ),
    ...jumps.flatMap((jump) => wantingOf(jump, bars).map((message) => faultAt(jump, message))),
    ...(codas.length > 0 ? [] : toCodas).map((place) =>
      faultAt(place, "'To Coda' has no Coda to go to; write Coda at the beginning of a bar."),
    ),
    ...idle.map((place) => faultAt(place, 'No D.C. or D.S. leads back to this sign; write one.')),
  ];
}

/** Into a block from outside: the first time, or after D.C. and D.S. the last. */
function enter(course: Course, at: number): void {
  const block = course.blockOf[at];
  if (block === course.block) return;
  course.block = block;
  course.time = course.isLedBack ? (block?.times ?? 1) : 1;
}

/** The ending of this time, where others begin; past them all where there is none. */
function chosen({ block, time }: Course, at: number): number {
  const first = block?.endings[0]?.from;
  if (block === undefined || at !== first) return at;
  return block.endings.find(({ numbers }) => numbers.includes(time))?.from ?? block.to + 1;
}

/** The bar after this one but for jumps. */
function following(course: Course, at: number): number {
  const { block, time } = course;
  if (block === undefined) return at + 1;
  const ending = block.endings.find(({ to }) => to === at);
  const isEnd = block.endings.length === 0 ? at === block.to : ending !== undefined;
  if (!isEnd) return at + 1;
  if (time < block.times) {
    course.time += 1;
    return block.from;
  }
  course.block = undefined;
  return block.to + 1;
}

type Step = { readonly next: number } | { readonly fault: Fault } | 'end';

function jumpFrom(course: Course, at: number, jump: Jump): Step {
  const { bars, done } = course;
  const { line, column } = jump;
  if (done.has(at)) {
    const message = `The form never ends: '${nameOf(jump)}' comes round again and passes no Fine and no Coda on its way.`;
    return { fault: { line, column, message } };
  }
  done.add(at);
  course.mode = modeOf(jump, bars);
  course.isLedBack = true;
  course.block = undefined;
  const first = bars[0]?.isPickup === true ? 1 : 0;
  return { next: jump.to === 'start' ? first : bars.findIndex(({ isSegno }) => isSegno) };
}

function step(course: Course, at: number): Step {
  const { bars, mode } = course;
  const bar = bars[at];
  if (bar === undefined) return 'end';
  if (mode.fine && bar.fine !== undefined) return 'end';
  if (mode.coda && bar.toCoda !== undefined) {
    course.mode = plainly;
    course.isLedBack = false;
    course.block = undefined;
    return { next: bars.findIndex(({ isCoda }) => isCoda) };
  }
  const { block } = course;
  const next = following(course, at);
  const isBack = block !== undefined && next === block.from && next <= at;
  return bar.jump !== undefined && !isBack ? jumpFrom(course, at, bar.jump) : { next };
}

function unplayed(bars: readonly WrittenBar[], order: readonly number[]): readonly Fault[] {
  const played = new Set(order);
  const first = bars.findIndex((_, at) => !played.has(at));
  const bar = bars[first];
  if (bar === undefined) return [];
  const { line, column } = bar;
  return [{ line, column, message: 'Nothing leads to this bar: it is never played.' }];
}

/** Where a fault is found the order is that of the page. */
export function playOrder(bars: readonly WrittenBar[]): PlayOrder {
  const { blocks, faults: wrong } = blocksOf(bars);
  const faults: Fault[] = [...wrong, ...faultsOfSigns(bars)];
  const onPage = { order: bars.map((_, at) => at), remarks: [] };
  if (faults.length > 0) return { ...onPage, faults };
  const blockOf: (Block | undefined)[] = new Array(bars.length).fill(undefined);
  for (const block of blocks) blockOf.fill(block, block.from, block.to + 1);
  const course: Course = {
    ...{ bars, blocks, blockOf, order: [], done: new Set<number>() },
    ...{ mode: plainly, isLedBack: false, time: 1, block: undefined },
  };
  for (let at = 0; at < bars.length; ) {
    enter(course, at);
    const here = chosen(course, at);
    if (here !== at) {
      at = here;
      continue;
    }
    course.order.push(at);
    if (course.order.length > mostBars) {
      const { line = 1, column = 1 } = bars[at] ?? {};
      const message = `The repeats add up to more than ${mostBars} bars.`;
      return { ...onPage, faults: [{ line, column, message }] };
    }
    const next = step(course, at);
    if (next === 'end') break;
    if ('fault' in next) return { ...onPage, faults: [next.fault] };
    at = next.next;
  }
  return { order: course.order, faults, remarks: unplayed(bars, course.order) };
}
