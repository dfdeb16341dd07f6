/** The treatments that `--compare` asks for, each a plan of its own; or which word is wrong. */

import { fewestTreatments, mostTreatments } from '../../compare/treatment.ts';
import type { PresetCollection } from '../../io/files/preset-files.ts';
import { adviseNearest } from '../../presets/nearest.ts';
import { strategyIds } from '../../presets/preset.ts';
import { findPreset } from '../../session/presets/preset-lookup.ts';
import { type Reach, reaches } from '../../voicing/hands.ts';
import { type ChartPlan, type ChartValues, type Part, planChart } from './chart-options.ts';

export type NamedPlan = ChartPlan & {
  /** As it was asked for; '' for a chart in one treatment. */
  readonly name: string;
};

/** What one treatment has, and several are to have each for itself. */
const ofOne = ['preset', 'strategy', 'shape'] as const;

type CompareValues = ChartValues & { readonly compare?: string; readonly reach?: string };

function wrong(problem: string): Extract<Part<never>, { ok: false }> {
  return { ok: false, isMisuse: true, problem };
}

export function reachOf(text: string | undefined, isComparing: boolean): Part<Reach> {
  const reach = reaches.find((each) => each === (text ?? 'ninth').trim().toLowerCase());
  if (reach === undefined) return wrong(`'--reach ${text}': there are ${reaches.join(', ')}.`);
  if (text === undefined || isComparing) return { ok: true, value: reach };
  return wrong(
    `'--reach ${text}': nothing is compared; add '--compare drop-2,fourths', which it is for.`,
  );
}

/** A strategy by its id, or else a preset by its id or name. */
function planOne(name: string, values: ChartValues, collection: PresetCollection): Part<NamedPlan> {
  const isStrategy = strategyIds.some((id) => id === name.toLowerCase());
  if (!isStrategy && !findPreset(name, collection).ok) {
    const presets = collection.entries.map(({ preset }) => preset);
    const known = new Map([
      ...strategyIds.map((id) => [id, id] as const),
      ...presets.flatMap(({ id, name: called }) => [[id, id] as const, [called, id] as const]),
    ]);
    return wrong(
      `'--compare': there is no strategy or preset '${name}'${adviseNearest(name, known)}.`,
    );
  }
  const planned = planChart(
    isStrategy ? { ...values, strategy: name } : { ...values, preset: name },
    collection,
  );
  if (!planned.ok) return { ...planned, problem: `'${name}': ${planned.problem}` };
  return { ok: true, value: { ...planned.value, name } };
}

export function planTreatments(
  { compare, reach: _, ...values }: CompareValues,
  collection: PresetCollection,
): Part<readonly NamedPlan[]> {
  if (compare === undefined) {
    const plan = planChart(values, collection);
    return plan.ok ? { ok: true, value: [{ ...plan.value, name: '' }] } : plan;
  }
  const given = ofOne.find((option) => values[option] !== undefined);
  if (given !== undefined) {
    return wrong(`'--${given}' and '--compare': name it among those that are compared instead.`);
  }
  const names = compare.split(',').map((name) => name.trim());
  if (names.length < fewestTreatments || names.length > mostTreatments || names.includes('')) {
    return wrong(
      `'--compare ${compare}': give two to eight strategies or presets with commas between, such as drop-2,fourths,hybrid.`,
    );
  }
  const twice = names.find((name, place) => names.indexOf(name) !== place);
  if (twice !== undefined) return wrong(`'--compare': '${twice}' stands there twice.`);
  const plans: NamedPlan[] = [];
  for (const name of names) {
    const plan = planOne(name, values, collection);
    if (!plan.ok) return plan;
    plans.push(plan.value);
  }
  return { ok: true, value: plans };
}
