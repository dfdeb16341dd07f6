/**
 * `handspan play`: presets, settings and the command line become a plan, and it is played.
 */

import { defineCommand, failure, misuse, type Streams } from '../../cli/command.ts';
import { userFolders } from '../../io/files/folders.ts';
import { readPresets } from '../../io/files/preset-files.ts';
import { loadSettings } from '../../io/files/settings.ts';
import { prepareTakeFile } from '../../io/takes/take-file.ts';
import { planPlay } from '../../session/plan.ts';
import { recoverSessions } from '../../session/recording.ts';
import { endingProblem } from '../output-endings.ts';
import { timbreOf, timbreOption } from '../sound/wav.ts';
import { tuneToPlay } from './chart-to-play.ts';
import { PlayRun, type PlayRunValues } from './play-run.ts';

export const play = defineCommand({
  name: 'play',
  about:
    'Plays: chords in, voicings out. Opens the MIDI ports "Handspan in" and "Handspan out"; ' +
    'without a MIDI system it goes on in rehearsal, where the computer keyboard plays. Voicings ' +
    'have more notes than the chord you hold: set monitoring low before you begin.',
  usage: ['play [OPTIONS]'],
  example: 'handspan play --rehearse --preset fourths-over-root --key Eb',
  options: {
    preset: { type: 'string', value: 'NAME', about: 'Preset to begin with' },
    key: {
      type: 'string',
      value: 'KEY',
      about: "Key, such as 'Eb' or 'F#m'; 'follow' to take it from what is played; 'none' for none",
    },
    chart: {
      type: 'string',
      value: 'FILE',
      about: 'Follow this chart: a text or a MusicXML score; its key holds where none is given',
    },
    follow: {
      type: 'string',
      value: 'WHO',
      about: "Who says where the chart is: 'player', or 'clock' (a MIDI clock with song position)",
    },
    written: {
      type: 'string',
      value: 'HOW',
      about:
        "Where keys agree with the chart: 'with-growth' (as the preset grows), 'as-written', 'as-played'",
    },
    metre: {
      type: 'string',
      value: 'B/U',
      about: 'Beats in a bar / their note, by which bars are counted with a MIDI clock',
    },
    register: { type: 'string', value: 'LOW-HIGH', about: "Upper voices, such as 'D3-G4'" },
    'bass-register': { type: 'string', value: 'LOW-HIGH', about: "Bass, such as 'A1-C3'" },
    from: { type: 'string', multiple: true, value: 'NAME', about: 'Listen to this input instead' },
    to: { type: 'string', multiple: true, value: 'NAME', about: 'Send to this output instead' },
    virtual: { type: 'boolean', about: 'Open "Handspan in" and "Handspan out" besides those' },
    plain: { type: 'boolean', about: 'One line per chord instead of the screen' },
    json: { type: 'boolean', about: 'One JSON line per chord' },
    rehearse: { type: 'boolean', about: 'Play from the computer keyboard, without MIDI ports' },
    record: { type: 'string', value: 'FILE', about: 'Write what was played to a MIDI file' },
    force: { type: 'boolean', about: 'Let --record overwrite its file' },
    'program-change': { type: 'boolean', about: 'Program change 1 is the first preset, and so on' },
    setlist: {
      type: 'string',
      value: 'NAME',
      about: "Presets to step through: a setlist, 'favourites' or 'all'",
    },
    switching: {
      type: 'string',
      value: 'WHEN',
      about: "When a new preset takes hold: 'next-chord' or 'at-once'",
    },
    sound: { type: 'boolean', about: 'Sound by itself too; in rehearsal it does anyway' },
    'no-sound': { type: 'boolean', about: 'Rehearse in silence' },
    timbre: timbreOption,
    theme: { type: 'string', value: 'LOOKS', about: "'dark', 'light' or 'contrast'" },
    remember: {
      type: 'boolean',
      about: 'Begin next time as this command line says; else it holds for this run',
    },
    'screen-reader': { type: 'boolean', about: 'Sentences as they become new, nothing drawn' },
  },
  maximumPositionals: 0,
  run: ({ values }, streams) => run(values, streams),
});

async function run(
  values: Omit<PlayRunValues, 'timbre'> & { readonly timbre?: string },
  streams: Streams,
): Promise<number> {
  if (values.plain === true && values.json === true) {
    const problem = "'--plain' and '--json' are two forms of the same lines; give one of them.";
    return misuse(streams, problem, 'play');
  }
  const folders = userFolders(process.env);
  const [loaded, collection] = await Promise.all([
    loadSettings(folders.settings),
    readPresets(folders.presets),
  ]);
  const tune = await tuneToPlay(values, streams, collection);
  if (!tune.ok) return tune.code;
  const asked = { ...tune.value.heading, ...values };
  const planned = planPlay(asked, loaded.settings, collection);
  if (!planned.ok) {
    return planned.isMisuse
      ? misuse(streams, planned.problem, 'play')
      : failure(streams, planned.problem);
  }
  const timbre = timbreOf(values.timbre, true, '');
  if (!timbre.ok) return misuse(streams, timbre.problem, 'play');
  const misnamed = endingProblem('--record', values.record);
  if (misnamed !== '') return misuse(streams, misnamed, 'play');
  const isOverwriting = values.force === true;
  const file =
    values.record === undefined ? undefined : prepareTakeFile(values.record, { isOverwriting });
  if (file !== undefined && !file.ok) return failure(streams, file.problem);
  const notices = [
    ...(loaded.notice === '' ? [] : [loaded.notice]),
    ...planned.value.notices,
    ...recoverSessions(folders.takes),
  ];
  // For a screen too: they are still there when it is left.
  for (const notice of notices) streams.stderr.write(`handspan: ${notice}\n`);

  const { entries } = collection;
  const plan = { ...planned.value, notices };
  const heard = { ...asked, timbre: timbre.value };
  const { stage, chart } = tune.value;
  const options = {
    values: heard,
    plan,
    entries,
    folders,
    streams,
    file: file?.value,
    tune: stage,
    tuneChart: chart,
  };
  return new PlayRun(options).play();
}
