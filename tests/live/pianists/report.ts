/**
 * How many trials of each way of playing come out as meant, and the first that do not, note by note:
 *
 *   node scripts/tool.mjs tests/live/pianists/report.ts [WAY] [TRIALS] [held-out]
 */
import type { Message } from '../../../src/midi/message.ts';
import { nameOf } from './rules.ts';
import { type Half, type Score, scoreOf, type Trial, type Wrong } from './trial.ts';
import { control, ways } from './ways/ways.ts';

const shownFailures = 16;
const shownKinds = 12;
/** Around the fault. */
const margin = 60_000;

function print(line: string): void {
  process.stdout.write(`${line}\n`);
}

function percent(share: number | undefined): string {
  return share === undefined ? '     –' : `${(share * 100).toFixed(1).padStart(5)}%`;
}

/** `took`: milliseconds of processor time. */
function rowOf({ way, asMeant, gestures, kept }: Score, took: number): string {
  return [
    way.id.padEnd(18),
    percent(asMeant),
    percent(gestures),
    percent(kept),
    `${(took / 1000).toFixed(1)} s`.padStart(7),
    ` ${way.about}`,
  ].join('  ');
}

function wordOf(message: Message): string {
  const channel = 'channel' in message && message.channel > 0 ? ` ch${message.channel + 1}` : '';
  switch (message.type) {
    case 'noteOn':
      return `+${nameOf(message.note)} ${message.velocity}${channel}`;
    case 'noteOff':
      return `-${nameOf(message.note)}${channel}`;
    case 'controlChange':
      return `cc${message.controller}=${message.value}${channel}`;
    default:
      return message.type;
  }
}

type Line = { readonly at: number; readonly order: number; readonly text: string };

/** One line for all that happens at a time: what is played, what is sent, what the stage is told. */
function linesOf(trial: Trial, from: number, to: number): Line[] {
  const { played, sent, shown } = trial.heard;
  const isNear = ({ at }: { readonly at: number }) => at >= from - margin && at <= to + margin;
  return [
    ...played.filter(isNear).map(({ at, message, source }) => ({
      at,
      order: 0,
      text: `> ${wordOf(message)}${source > 0 ? ` keyboard ${source + 1}` : ''}`,
    })),
    ...sent.filter(isNear).map(({ at, message }) => ({ at, order: 1, text: wordOf(message) })),
    ...shown.filter(isNear).map(({ at, report }) => ({
      at,
      order: 2,
      text: `[${report.heard.symbol}${report.heard.runnerUp ? ` or ${report.heard.runnerUp}` : ''}: ${report.sent.label}]`,
    })),
  ].sort((one, other) => one.at - other.at || one.order - other.order);
}

function printWrong(trial: Trial, { check, fault }: Wrong): void {
  const { key, preset, beat } = trial.stage;
  const keyName = key === undefined ? 'no key' : `key ${key.pitchClass} ${key.mode}`;
  print(
    `\nseed ${trial.seed}, ${preset.id}, ${keyName}, ${Math.round(60_000_000 / beat)} a minute: ${check.name}: ${fault}`,
  );
  const lines = linesOf(trial, check.from, check.to);
  for (let place = 0; place < lines.length; ) {
    const { at = 0, order = 0 } = lines[place] ?? {};
    const group = lines.filter((line) => line.at === at && line.order === order);
    const time = ((at - check.from) / 1000).toFixed(1).padStart(9);
    print(`${time} ${order === 0 ? '' : '        '}${group.map((line) => line.text).join('  ')}`);
    place += group.length;
  }
}

/** The fault without its notes, chords and numbers. */
function kindOf({ check, fault }: Wrong): string {
  const plain = fault
    .replace(/\b[A-G]b?-?\d\b( [A-G]b?-?\d\b)*/g, 'X')
    .replace(/(for|says|called) [A-G]\S*/, '$1 a chord')
    .replace(/: ([A-G]b? ?)+ is/, ': a tone is')
    .replace(/[\d.]+/g, 'N');
  return `${check.name}: ${plain}`;
}

function kindsOf(trials: readonly Trial[]): [kind: string, times: number][] {
  const kinds = new Map<string, number>();
  for (const wrong of trials.flatMap((trial) => trial.wrong)) {
    kinds.set(kindOf(wrong), (kinds.get(kindOf(wrong)) ?? 0) + 1);
  }
  return [...kinds].sort((one, other) => other[1] - one[1]);
}

function main(words: readonly string[]): void {
  const half: Half = words.includes('held-out') ? 'held-out' : 'development';
  const count = Number(words.find((word) => /^\d+$/.test(word)) ?? 100);
  const named = words.find((word) => !/^\d+$/.test(word) && word !== 'held-out');
  const all = [...ways, control];
  const chosen = all.filter((way) => named === undefined || way.id === named);
  if (chosen.length === 0) {
    print(`There is no way '${named}': write one of ${all.map((way) => way.id).join(', ')}.`);
    process.exitCode = 1;
    return;
  }
  print(`${count} trials of each way, seeds of the ${half} half`);
  print('way                  trials gestures notes kept');
  const scores: Score[] = [];
  for (const way of chosen) {
    const begun = process.cpuUsage().user;
    const score = scoreOf(way, half, count);
    scores.push(score);
    print(rowOf(score, (process.cpuUsage().user - begun) / 1000));
  }
  if (named === undefined) {
    const counted = scores.filter(({ way }) => way !== control);
    const mean = counted.reduce((sum, score) => sum + score.asMeant, 0) / counted.length;
    const enough = counted.filter((score) => score.asMeant >= 0.9).length;
    print(`mean ${percent(mean)}, at least 90 % in ${enough} of ${counted.length}`);
    return;
  }
  const wrong = scores.flatMap(({ trials }) => trials.filter((trial) => trial.wrong.length > 0));
  for (const trial of wrong.slice(0, shownFailures)) {
    for (const each of trial.wrong.slice(0, 1)) printWrong(trial, each);
  }
  print('\nfaults');
  for (const [kind, times] of kindsOf(wrong).slice(0, shownKinds)) {
    print(`${String(times).padStart(5)}  ${kind}`);
  }
}

main(process.argv.slice(2));
