/**
 * Gathering with simulated pianists: how long after its last key a chord is sent, how steady that
 * is, and how often something had to be corrected, against windows of a fixed length in the same
 * run. Simulated time and seeds: the figures are the same on every machine. The pianists and the
 * publications behind them are described in tests/live/pianists/families.ts.
 */
import type { Preset } from '../../src/presets/preset.ts';
import {
  type Member,
  type Sizes,
  steadySizes,
  tunedFamily,
  unseenFamily,
} from '../../tests/live/pianists/families.ts';
import { figuresOf, rolledFiguresOf } from '../../tests/live/pianists/figures.ts';
import { type Listening, listen } from '../../tests/live/pianists/listen.ts';
import { perform } from '../../tests/live/pianists/pianist.ts';
import { plainPreset } from '../../tests/live/play.ts';
import type { Bench, Row } from './measure.ts';

const chords = 240;

const manners: { readonly [name: string]: Preset['gathering'] } = {
  'adaptive, ceiling 50 ms': { mode: 'adaptive', ceilingMilliseconds: 50 },
  'adaptive, ceiling 30 ms': { mode: 'adaptive', ceilingMilliseconds: 30 },
  'fixed, 30 ms': { mode: 'fixed', ceilingMilliseconds: 30 },
  'fixed, 20 ms': { mode: 'fixed', ceilingMilliseconds: 20 },
};

type Played = { readonly member: Member; readonly listening: Listening };

function play(family: readonly Member[], gathering: Preset['gathering']): Played[] {
  return family.map((member) => ({
    member,
    listening: listen({ preset: { ...plainPreset, gathering } }, perform(member)),
  }));
}

function text(played: readonly Played[]): string {
  const figures = figuresOf(played.map(({ listening }) => listening));
  const share = (value: number): string => `${(100 * value).toFixed(1)} %`;
  return [
    `median ${figures.median.toFixed(1)}`,
    `p95 ${figures.p95.toFixed(1)}`,
    `deviation ${figures.deviation.toFixed(2)} (worst ${figures.worstDeviation.toFixed(2)}) ms`,
    `corrected ${share(figures.corrected)} (misread ${share(figures.misread)})`,
    `spread ${figures.spread.toFixed(1)} ms, p95 within it for ${share(figures.withinSpread)}`,
  ].join('; ');
}

function rowsOf(family: string, members: readonly Member[], name: string): Row[] {
  const gathering = manners[name];
  if (gathering === undefined) throw new Error(`there is no gathering '${name}'`);
  const played = play(members, gathering);
  const where = (label: string, holds: (member: Member) => boolean): Row => [
    `${family}; ${label}; ${name}`,
    text(played.filter(({ member }) => holds(member))),
  ];
  const isSteady = ({ sizes }: Member): boolean => steadySizes.includes(sizes);
  const mixed = [...new Set(members.map(({ sizes }) => sizes))].filter(
    (sizes: Sizes) => !steadySizes.includes(sizes),
  );
  const rolled = rolledFiguresOf(played.map(({ listening }) => listening));
  return [
    where('steady, legato', (member) => isSteady(member) && member.style === 'legato'),
    where('steady, all else', (member) => isSteady(member) && member.style !== 'legato'),
    ...mixed.map((sizes) => where(sizes, (member) => member.sizes === sizes)),
    [
      `${family}; rolled chords; ${name}`,
      `${rolled.chords} chords, read in the end ${(100 * rolled.read).toFixed(1)} %, median ${rolled.median.toFixed(1)} ms after the last key`,
    ],
  ];
}

export const gatheringBench: Bench = {
  title: `Gathering, wait after the last key, ${chords} chords a simulated pianist (aims in steady playing: median 0 ms, p95 within the learned spread, deviation under 1 ms, corrected at most 2 %)`,
  run: async () => {
    const families = { tuned: tunedFamily(chords), unseen: unseenFamily(chords) };
    return Object.entries(families)
      .flatMap(([family, members]) =>
        Object.keys(manners).flatMap((name) => rowsOf(family, members, name)),
      )
      .sort(([one], [other]) => groupOf(one).localeCompare(groupOf(other)));
  },
};

/** Rows of the same players stand together, whatever the gathering. */
function groupOf(name: string): string {
  return name.split('; ').slice(0, 2).join('; ');
}
