/** `handspan chart --for`: who plays, the presets for them, and what becomes of the voiced chart. */
import { partsToMidiFile } from '../../chart/midi-file.ts';
import { idlePlayers } from '../../chart/parts/part-remarks.ts';
import {
  formatParts,
  partsReport,
  type ToldParts,
  toldParts,
} from '../../chart/parts/part-report.ts';
import { partsOfChart } from '../../chart/parts/parts.ts';
import { ownCommand } from '../../cli/own-command.ts';
import type { Result } from '../../common/result.ts';
import type { Treatment } from '../../compare/treatment.ts';
import { type Ensemble, knownNames, parseEnsemble } from '../../ensemble/ensemble.ts';
import type { Manner } from '../../ensemble/give-out.ts';
import { type Asked, isBassLeft, presetForPlayers } from '../../presets/for-players.ts';
import { adviseNearest } from '../../presets/nearest.ts';
import type { Progression } from '../../score/progression.ts';
import type { Part } from './chart-options.ts';
import type { NamedPlan } from './compare-plan.ts';
import { scoreOfParts } from './part-progressions.ts';

export type PlayersWish = {
  readonly ensemble: Ensemble;
  readonly manner: Manner;
  /** Of the score: as it sounds, or as the parts are written. */
  readonly pitch: 'concert' | 'transposed';
  /** The preset has a bass that nobody in the ensemble is left for. */
  readonly isBassLeft: boolean;
};

export type PlayersValues = {
  readonly for?: string;
  readonly out?: string;
  readonly unisons?: boolean;
  readonly crossings?: boolean;
  readonly 'transposed-score'?: boolean;
  readonly compare?: string;
  readonly explain?: boolean;
  readonly voices?: string;
  readonly bass?: string;
};

type Planned = {
  readonly plans: readonly NamedPlan[];
  readonly players: PlayersWish | undefined;
};

function wrong(problem: string): Extract<Part<never>, { ok: false }> {
  return { ok: false, isMisuse: true, problem };
}

/** Options that say how players play. */
const ofPlayers = ['out', 'unisons', 'crossings', 'transposed-score'] as const;

/** Sections of the user's own, from the settings: their players, by name. */
export type OwnSections = { readonly [name: string]: readonly string[] };

/** With the names of own sections as their players. */
function spelledOut(text: string, sections: OwnSections): string {
  const own = new Map(
    Object.entries(sections).map(([name, players]) => [name.trim().toLowerCase(), players]),
  );
  return text
    .split(',')
    .flatMap((word) => own.get(word.trim().toLowerCase()) ?? [word.trim()])
    .join(', ');
}

function readEnsemble(text: string, sections: OwnSections): Part<Ensemble> {
  const parsed = parseEnsemble(spelledOut(text, sections));
  if (parsed.ok) return parsed;
  const names = [...knownNames, ...Object.keys(sections)];
  if (parsed.unknown === '') return wrong(`'--for': ${parsed.fault}.`);
  const advice = adviseNearest(parsed.unknown, names);
  return wrong(`'--for': ${parsed.fault}${advice}; '${ownCommand('help players')}' lists them.`);
}

export function planForPlayers(
  values: PlayersValues,
  plans: readonly NamedPlan[],
  sections: OwnSections,
): Part<Planned> {
  if (values.for === undefined) {
    const lonely = ofPlayers.find((option) => values[option] !== undefined);
    if (lonely === undefined) return { ok: true, value: { plans, players: undefined } };
    return wrong(`'--${lonely}' is for players; add '--for saxes', or whoever plays.`);
  }
  if (values.compare !== undefined) {
    return wrong("'--for' and '--compare': write for players in one treatment at a time.");
  }
  if (values.explain === true) {
    return wrong("'--for' and '--explain': ask for one of them at a time.");
  }
  const ensemble = readEnsemble(values.for, sections);
  if (!ensemble.ok) return ensemble;
  const [plan] = plans;
  if (plan === undefined) return { ok: true, value: { plans, players: undefined } };
  const asked: Asked = {
    areVoices: values.voices !== undefined,
    isBass: values.bass !== undefined,
    upper: plan.upper,
  };
  const preset = presetForPlayers(plan.preset, ensemble.value, asked);
  const presetNamed: NamedPlan['presetNamed'] = (name) => {
    const found = plan.presetNamed(name);
    if (!found.ok) return found;
    return { ok: true, value: presetForPlayers(found.value, ensemble.value, asked) };
  };
  const players: PlayersWish = {
    ensemble: ensemble.value,
    manner: {
      areUnisonsAllowed: values.unisons === true,
      areCrossingsAllowed: values.crossings === true,
    },
    pitch: values['transposed-score'] === true ? 'transposed' : 'concert',
    isBassLeft: isBassLeft(plan.preset, preset),
  };
  // The players' ranges take the place of a register, which bounds them and is not widened.
  const planned = { ...plan, preset, presetNamed, upper: undefined };
  return { ok: true, value: { plans: [planned], players } };
}

export type Played = {
  readonly parts: ToldParts;
  readonly midi: () => Uint8Array;
  readonly told: (isJson: boolean) => string;
  readonly score: () => Progression;
};

/** Undefined: for nobody in particular. */
export function playedBy(
  wish: PlayersWish | undefined,
  [treatment]: readonly Treatment[],
): Result<Played> | undefined {
  if (wish === undefined || treatment === undefined) return undefined;
  const { voiced } = treatment;
  const parts = toldParts(
    voiced,
    partsOfChart(voiced, wish.ensemble, wish.manner),
    wish.isBassLeft,
  );
  const [idle] = idlePlayers(parts.lines);
  if (idle !== undefined && voiced.chords.some(({ sounding }) => sounding !== undefined)) {
    const { strategy, voices } = voiced.setup.preset;
    const problem = `'--for': ${idle} has nothing to play in '${strategy}' with ${voices} voices; name fewer players, choose a strategy with more voices, or allow '--unisons'.`;
    return { ok: false, problem };
  }
  return {
    ok: true,
    value: {
      parts,
      midi: () => partsToMidiFile(voiced, parts.lines),
      score: () => scoreOfParts(parts, wish.pitch),
      told: (isJson) =>
        isJson ? JSON.stringify(partsReport(parts)) : formatParts(parts).trimEnd(),
    },
  };
}
