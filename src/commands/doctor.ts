/**
 * `handspan doctor`: looks at everything Handspan stands on, says what it finds, and for each fault
 * what to do. Exit code 1 when something is broken; a caution is no fault.
 */

import { accessSync, constants, existsSync } from 'node:fs';
import { rm, writeFile } from 'node:fs/promises';
import { release } from 'node:os';
import { join } from 'node:path';
import packageJson from '../../package.json' with { type: 'json' };
import { defineCommand, exitCodes, type Streams } from '../cli/command.ts';
import { ownCommand } from '../cli/own-command.ts';
import { errorText } from '../common/error-text.ts';
import type { Result } from '../common/result.ts';
import { createClock } from '../io/clock.ts';
import { type Folders, userFolders } from '../io/files/folders.ts';
import { makeFolder } from '../io/files/make-folder.ts';
import { type PresetCollection, readPresets } from '../io/files/preset-files.ts';
import { loadSettings, type Settings } from '../io/files/settings.ts';
import { describeFileError } from '../io/files/text-file.ts';
import { type SoundHost, startSound } from '../io/sound/sound-host.ts';
import { planPlay } from '../session/plan.ts';
import { levels } from '../sound/level.ts';
import { smallest } from '../ui/frame/layout.ts';
import { detectLook } from '../ui/look.ts';
import { freeScreen } from '../ui/terminal.ts';
import { oneLine } from '../ui/text.ts';

export type Finding = {
  readonly what: string;
  readonly state: 'fine' | 'caution' | 'broken';
  /** What was found, in one sentence. */
  readonly found: string;
  /** What to do about it; '' when fine. */
  readonly remedy: string;
};

export const doctor = defineCommand({
  name: 'doctor',
  about:
    'Looks at everything Handspan stands on: Node, the MIDI library, the sequencer and its ' +
    'permissions, ports, sound, settings, presets, the terminal. Each fault comes with what to do. Exit ' +
    'code 1 when something is broken.',
  usage: ['doctor [--json]'],
  example: 'handspan doctor',
  options: { json: { type: 'boolean', about: 'Answer as JSON' } },
  maximumPositionals: 0,
  run: async ({ values }, streams) => {
    // Whoever comes from a screen that was killed must be able to read what follows.
    if (process.stdout.isTTY === true && values.json !== true) streams.stdout.draw?.(freeScreen);
    const findings = [
      nodeFinding(process.versions.node),
      systemFinding(process.platform),
      ...(await midiFindings(process.platform)),
      soundFinding(
        await startSound({ timbre: 'struck', level: levels.softest, isDescribed: true }),
      ),
      ...(await folderFindings(userFolders(process.env))),
      terminalFinding(process.env, process.platform, process.stdout),
    ];
    return answer(findings, values.json === true, streams);
  },
});

export function answer(findings: readonly Finding[], isJson: boolean, streams: Streams): number {
  if (isJson) streams.stdout.write(`${JSON.stringify(findings, null, 2)}\n`);
  else for (const finding of findings) streams.stdout.write(formatFinding(finding));
  const isBroken = findings.some((finding) => finding.state === 'broken');
  return isBroken ? exitCodes.failed : exitCodes.fine;
}

function formatFinding({ what, state, found, remedy }: Finding): string {
  const line = `${state.padEnd(8)}${what.padEnd(14)}${oneLine(found)}\n`;
  return remedy === '' ? line : `${line}${' '.repeat(22)}${oneLine(remedy)}\n`;
}

function fine(what: string, found: string): Finding {
  return { what, state: 'fine', found, remedy: '' };
}

// --- Node ---------------------------------------------------------------------------------------

/** The engines of package.json, as numbers: 20 from 20.19, 22 from 22.12, or 24 and later. */
export function nodeFinding(version: string): Finding {
  const [major = 0, minor = 0] = version.split('.').map(Number);
  const least = new Map([
    [20, 19],
    [22, 12],
  ]).get(major);
  const isEnough = least === undefined ? major >= 24 : minor >= least;
  const found = `Node ${version}`;
  if (isEnough) return fine('Node', found);
  const remedy = `Install Node ${packageJson.engines.node} from nodejs.org.`;
  return { what: 'Node', state: 'broken', found, remedy };
}

// --- MIDI ---------------------------------------------------------------------------------------

/** What cannot be promised is said before it is tried on a stage. */
export function systemFinding(platform: string): Finding {
  if (platform === 'linux')
    return fine('system', 'Linux; after a sleep all ports are opened anew.');
  const found = 'Handspan was never run on this system by its authors, only on Linux.';
  const remedy = 'Try all you need before you play with it, and tell them what you find.';
  return { what: 'system', state: 'caution', found, remedy };
}

async function midiFindings(platform: string): Promise<readonly Finding[]> {
  const library = await libraryFinding(platform);
  if (library.state === 'broken') return [library];
  const sequencer = platform === 'linux' ? [sequencerFinding(sequencerDevice)] : [];
  if (sequencer.some((finding) => finding.state !== 'fine')) return [library, ...sequencer];
  return [library, ...sequencer, await portsFinding()];
}

async function libraryFinding(platform: string): Promise<Finding> {
  try {
    const { verifyLibraryLoaded } = await import('@julusian/midi/lazy');
    verifyLibraryLoaded();
    return fine('MIDI library', 'The native MIDI library loads.');
  } catch (error) {
    return libraryFault(errorText(error), platform);
  }
}

/** A missing libasound and a missing addon have different remedies. */
export function libraryFault(message: string, platform: string): Finding {
  const [found = ''] = message.split('\n', 1);
  const isAlsaMissing = platform === 'linux' && /libasound/.test(message);
  const remedy = isAlsaMissing
    ? "Install ALSA's library: libasound2 (Debian, Ubuntu: 'apt install libasound2'; Fedora: alsa-lib)."
    : "Install Handspan's packages again ('npm ci'); the library must match this system and Node.";
  return { what: isAlsaMissing ? 'libasound' : 'MIDI library', state: 'broken', found, remedy };
}

const sequencerDevice = '/dev/snd/seq';

/** Rehearsal works without, so a missing sequencer is a caution. */
export function sequencerFinding(device: string): Finding {
  const what = 'sequencer';
  if (!existsSync(device)) {
    return {
      what,
      state: 'caution',
      found: `The ALSA sequencer ${device} is missing (Linux ${release()}); only rehearsal works.`,
      remedy: "Load it with 'sudo modprobe snd-seq'; inside a container, pass /dev/snd in.",
    };
  }
  try {
    accessSync(device, constants.R_OK | constants.W_OK);
    return fine(what, `${device} can be opened.`);
  } catch {
    return {
      what,
      state: 'broken',
      found: `You may not open ${device}.`,
      remedy: "Join its group ('sudo usermod -aG audio $USER'), then log in again.",
    };
  }
}

async function portsFinding(): Promise<Finding> {
  const { createMidiPorts } = await import('../io/ports/midi-ports.ts');
  const opened = createMidiPorts(createClock());
  if (!opened.ok) {
    const remedy = `Play in rehearsal meanwhile: ${ownCommand('play --rehearse')}.`;
    return { what: 'ports', state: 'caution', found: opened.problem, remedy };
  }
  const { isVirtualPossible } = opened.value;
  const inputs = opened.value.inputs();
  const outputs = opened.value.outputs();
  opened.value.close();
  const found = `${inputs.length} inputs (${inputs.join(', ')}), ${outputs.length} outputs (${outputs.join(', ')}).`;
  if (isVirtualPossible || (inputs.length > 0 && outputs.length > 0)) return fine('ports', found);
  return {
    what: 'ports',
    state: 'caution',
    found,
    remedy: 'This system has no virtual ports: install a loopback driver and name its ports.',
  };
}

// --- sound --------------------------------------------------------------------------------------

/** Ends what it was given. Everything but sound works without, so its absence is a caution. */
export function soundFinding(started: Result<SoundHost>): Finding {
  const what = 'sound';
  if (!started.ok) {
    const remedy = 'Nothing else needs it: ports, files and the screen work as they are.';
    return { what, state: 'caution', found: started.problem, remedy };
  }
  const { device, sampleRate, baseLatency, outputLatency } = started.value.facts;
  void started.value.close();
  const named = device === '' ? "The system's audio device" : `"${device}"`;
  const late = (seconds: number) => `${(seconds * 1000).toFixed(1)} ms`;
  const found = `${named} opens: ${sampleRate} Hz, base latency ${late(baseLatency)}, output latency ${late(outputLatency)}.`;
  return fine(what, found);
}

// --- folders ------------------------------------------------------------------------------------

async function folderFindings(folders: Folders): Promise<readonly Finding[]> {
  const { settings, notice } = await loadSettings(folders.settings);
  const presets = await readPresets(folders.presets);
  const own = presets.entries.filter((entry) => entry.origin === 'own').length;
  return [
    await writableFinding(folders.settings),
    ...settingsFindings(settings, notice, presets),
    ...(presets.problems.length === 0
      ? [fine('presets', `${presets.entries.length} presets, ${own} your own, all in order.`)]
      : presets.problems.map(presetFinding)),
  ];
}

/** What playing would leave aside of the settings; `notice`: what was wrong with their file. */
export function settingsFindings(
  settings: Settings,
  notice: string,
  collection: PresetCollection,
): readonly Finding[] {
  const caution = (found: string, remedy: string): Finding => ({
    what: 'settings',
    state: 'caution',
    found,
    remedy,
  });
  const planned = planPlay({ rehearse: true }, settings, { ...collection, problems: [] });
  const left = planned.ok ? planned.value.notices : [planned.problem];
  const ids = new Set(collection.entries.map(({ preset }) => preset.id));
  const lists = Object.entries(settings.setlists ?? {}).flatMap(([name, list]) => {
    const gone = [...new Set(list.filter((id) => !ids.has(id)))];
    if (gone.length === 0) return [];
    return `The setlist '${name}' names presets that are not here and are passed over: ${gone.join(', ')}.`;
  });
  const findings = [
    ...(notice === '' ? [] : [caution(notice, 'Nothing to do: what could be read is used.')]),
    ...left.map((each) =>
      caution(each, 'Choose anew on the set-up page; until then the rest is used.'),
    ),
    ...lists.map((each) =>
      caution(
        each,
        `Put the files back, or set the list anew with '${ownCommand('setlists set')}'.`,
      ),
    ),
  ];
  return findings.length === 0 ? [fine('settings', 'The settings are in order.')] : findings;
}

/** A file that was left out: broken, or named like a preset that came with Handspan. */
function presetFinding(found: string): Finding {
  const isTaken = found.includes('has the name of a preset');
  const remedy = isTaken
    ? 'Give the file another name; until then it is left out and the other presets play.'
    : `See '${ownCommand('presets check FILE')}'; the other presets play.`;
  return { what: 'presets', state: 'caution', found, remedy };
}

export async function writableFinding(folder: string): Promise<Finding> {
  const trial = join(folder, `.trial.${process.pid}`);
  try {
    makeFolder(folder);
    await writeFile(trial, '');
    await rm(trial);
    return fine('folder', `${folder} can be written.`);
  } catch (error) {
    return {
      what: 'folder',
      state: 'broken',
      found: `${folder} cannot be written: ${describeFileError(error)}.`,
      remedy: 'Put right its owner and permissions, or set HANDSPAN_HOME to another folder.',
    };
  }
}

// --- terminal -----------------------------------------------------------------------------------

export function terminalFinding(
  environment: NodeJS.ProcessEnv,
  platform: string,
  { isTTY, columns, rows }: { isTTY?: boolean; columns?: number; rows?: number },
): Finding {
  const what = 'terminal';
  if (isTTY !== true) return fine(what, 'Not a terminal: one line a chord would be printed.');
  const { hasUnicode, hasColour } = detectLook(environment, platform);
  const signs = hasUnicode ? 'Unicode' : 'ASCII only';
  const found = `${columns} x ${rows}, ${signs}, ${hasColour ? 'colour' : 'no colour'}.`;
  const isTooSmall = (columns ?? 0) < smallest.columns || (rows ?? 0) < smallest.rows;
  if (isTooSmall) {
    const remedy = `Make it at least ${smallest.columns} x ${smallest.rows}; 100 x 30 or more is comfortable.`;
    return { what, state: 'caution', found, remedy };
  }
  if (!hasUnicode) {
    const remedy =
      'Set a UTF-8 locale, such as LANG=C.UTF-8, for a staff drawn with its own signs.';
    return { what, state: 'caution', found, remedy };
  }
  return fine(what, found);
}
