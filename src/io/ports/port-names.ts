/**
 * Names of MIDI ports as people see and type them. Pure: lists in, names or problems out.
 */
import type { Result } from '../../common/result.ts';

/** What there is to choose from. */
export type PortNames = {
  readonly inputs: readonly string[];
  readonly outputs: readonly string[];
  /** False where no program can make ports of its own: Windows. */
  readonly isVirtualPossible?: boolean;
};

/** ALSA appends its client and port number, ` 128:0`, which change with every plugging in. */
const alsaAddress = / \d+:\d+$/;

/**
 * The names to show and remember, in the order of the system's list: without changing numbers;
 * two ports of one name become `Name` and `Name (2)`.
 */
export function portNames(rawNames: readonly string[], platform: string): string[] {
  const seen = new Map<string, number>();
  return rawNames.map((raw) => {
    // Elsewhere a number at the end belongs to the name: 'Keyboard 49'.
    const name = (platform === 'linux' ? raw.replace(alsaAddress, '') : raw).trim();
    const count = (seen.get(name) ?? 0) + 1;
    seen.set(name, count);
    return count === 1 ? name : `${name} (${count})`;
  });
}

/**
 * The one name of `names` that `wanted` is, or is a part of, capitals or not. A whole name wins
 * over the longer ones that contain it.
 */
export function findPort(
  wanted: string,
  names: readonly string[],
  direction: 'in' | 'out',
): Result<string> {
  const kind = direction === 'in' ? 'input' : 'output';
  const text = wanted.trim().toLowerCase();
  if (text === '') return { ok: false, problem: `The name of a MIDI ${kind} must not be empty.` };
  const whole = names.find((name) => name.toLowerCase() === text);
  if (whole !== undefined) return { ok: true, value: whole };
  const matches = names.filter((name) => name.toLowerCase().includes(text));
  const [only] = matches;
  if (only !== undefined && matches.length === 1) return { ok: true, value: only };
  if (only === undefined) {
    const existing =
      names.length === 0 ? `there is no MIDI ${kind} at all` : `there is ${quoted(names)}`;
    return { ok: false, problem: `No MIDI ${kind} is called "${wanted}": ${existing}.` };
  }
  const problem = `"${wanted}" fits more than one MIDI ${kind}: ${quoted(matches)}. Give more of the name.`;
  return { ok: false, problem };
}

function quoted(names: readonly string[]): string {
  return names.map((name) => `"${name}"`).join(', ');
}
