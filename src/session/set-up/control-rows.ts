/** Rows of the set-up page for feet and hands: pedals, buttons, keys that choose presets. */
import { given } from '../../common/given.ts';
import { keptForScopes, type Settings } from '../../io/files/settings.ts';
import type { Controls, KeyRangeName } from '../../live/controllers/controls.ts';
import { formatRegister } from '../../presets/register.ts';
import type { PlaySession } from '../session.ts';
import { patch, type SetUpRow } from './row.ts';

function controlsWith<N extends keyof Controls>(
  session: PlaySession,
  name: N,
  value: Controls[N] | undefined,
): Controls {
  const { [name]: _, ...rest } = session.memory.controls ?? {};
  return { ...rest, ...given(name, value) } as Controls;
}

const triggerRows = [
  ['next', 'next preset', 'A pedal or button that steps to the next preset on stage.'],
  ['previous', 'preset before', 'A pedal or button that steps back.'],
  ['choose', 'preset by value', "A fader or knob: its value is the preset's place, 0 the first."],
  ['panic', 'panic', 'A pedal or button that silences everything.'],
  ['latch', 'latch', 'What sounds stays until the next chord; pressed again, no longer.'],
  [
    'listen',
    'listen',
    'Nothing is revoiced and what you play is named; pressed again, chords are voiced.',
  ],
  ['nextVoicing', 'next voicing', 'Another voicing of the chord that sounds, best led first.'],
  ['previousVoicing', 'voicing before', 'The voicing before, of the chord that sounds.'],
  ['nextBass', 'next bass', 'The chord that sounds over another of its tones.'],
  ['previousBass', 'bass before', 'The chord that sounds over the bass before.'],
  ['nextTechnique', 'next technique', 'The chord that sounds in another technique.'],
  ['previousTechnique', 'technique before', 'The chord that sounds in the technique before.'],
  ['higherLead', 'higher lead', 'The chord that sounds under the next higher top note.'],
  ['lowerLead', 'lower lead', 'The chord that sounds under the next lower top note.'],
  ['moreVoices', 'one voice more', 'The chord that sounds in one voice more.'],
  ['fewerVoices', 'one voice fewer', 'The chord that sounds in one voice fewer.'],
] as const;

const tuneRows = [
  [
    'nextChord',
    "tune's next chord",
    'Plays the next chord of the tune, for as long as it is down.',
  ],
  ['oneKey', 'one key', 'Any key plays the next chord of the tune; pressed again, no longer.'],
  ['nextPlace', 'place on', 'The next chord of the tune is one further on.'],
  ['previousPlace', 'place back', 'The next chord of the tune is one further back.'],
  ['nextSection', 'next section', 'The next chord of the tune opens the section after.'],
  ['previousSection', 'section before', 'The next chord of the tune opens the section before.'],
  ['top', 'top', 'The next chord is the first of the tune.'],
] as const;

type TriggerRow = (typeof triggerRows)[number] | (typeof tuneRows)[number];

function triggerText({ controls }: Settings, name: TriggerRow[0]): string {
  const trigger = controls?.[name];
  if (trigger === undefined) return 'none';
  const channel = trigger.channel === undefined ? '' : `, channel ${trigger.channel + 1}`;
  return `controller ${trigger.controller}${channel}`;
}

const keptForWords = {
  degree: 'the degree of the key',
  type: 'the chord type on any root',
  chord: 'only that chord',
} as const;

function triggerRow(group: string, [name, label, help]: TriggerRow): SetUpRow {
  return {
    id: `controls.${name}`,
    group,
    label,
    help: `${help} Return, then move it. A control that is bound goes no further.`,
    entry: 'learn',
    learns: 'control',
    value: (session) => triggerText(session.memory, name),
    clear: (session) => patch(session, 'controls', controlsWith(session, name, undefined)),
  };
}

function rangeRow(group: string, name: KeyRangeName, label: string, help: string): SetUpRow {
  return {
    id: `controls.${name}`,
    group,
    label,
    help: `${help} Return, then play the lowest and the highest of them, or t and type them, such as C1-B1.`,
    entry: 'learn',
    learns: 'range',
    value: ({ memory }) => {
      const range = memory.controls?.[name];
      return range === undefined ? 'none' : formatRegister(range);
    },
    clear: (session) => patch(session, 'controls', controlsWith(session, name, undefined)),
  };
}

const feetAndHands = 'feet and hands';
const inTune = 'a tune on the stage';

export const controlRows: readonly SetUpRow[] = [
  ...triggerRows.map((row) => triggerRow(feetAndHands, row)),
  rangeRow(
    feetAndHands,
    'keys',
    'keys that choose presets',
    'Keys that choose presets instead of sounding, the lowest the first preset.',
  ),
  {
    id: 'controls.program',
    group: feetAndHands,
    label: 'program changes',
    help: 'Program change 1 chooses the first preset of the setlist (of all, the first that `handspan presets` lists), and so on; or all of them pass through.',
    entry: 'none',
    value: ({ memory }) =>
      memory.controls?.isProgramChangeObeyed === true ? 'choose presets' : 'pass through',
    step: (session) => {
      const isObeyed = session.memory.controls?.isProgramChangeObeyed === true;
      return patch(session, 'controls', controlsWith(session, 'isProgramChangeObeyed', !isObeyed));
    },
  },
  {
    id: 'keptFor',
    group: feetAndHands,
    label: 'a kept voicing holds for',
    help: 'The chord at that degree of the key, chords of that type on any root, or only that chord.',
    entry: 'none',
    value: ({ memory }) => keptForWords[memory.keptFor ?? 'type'],
    step: (session, step) => {
      const place = keptForScopes.indexOf(session.memory.keptFor ?? 'type') + step;
      return patch(session, 'keptFor', keptForScopes.at(place % keptForScopes.length));
    },
  },
  {
    id: 'struckByChoice',
    group: feetAndHands,
    label: 'another voicing strikes',
    help: 'Of another voicing of the chord that sounds: only the voices that differ, or all of them.',
    entry: 'none',
    value: ({ memory }) => (memory.struckByChoice === 'all' ? 'all voices' : 'what differs'),
    step: (session) =>
      patch(session, 'struckByChoice', session.memory.struckByChoice === 'all' ? 'changed' : 'all'),
  },
  {
    id: 'switching',
    group: feetAndHands,
    label: 'a new preset takes hold',
    help: 'At once voices what sounds anew with the fewest changes; at the next chord leaves it be.',
    entry: 'none',
    value: ({ memory }) => (memory.switching === 'at-once' ? 'at once' : 'at the next chord'),
    step: (session) =>
      patch(
        session,
        'switching',
        session.memory.switching === 'at-once' ? 'next-chord' : 'at-once',
      ),
  },
  ...tuneRows.map((row) => triggerRow(inTune, row)),
  rangeRow(
    inTune,
    'chordKeys',
    'keys for the next chord',
    'Any of these keys plays the next chord of the tune, the same key again the same chord; the others are free for a melody.',
  ),
  rangeRow(
    inTune,
    'sectionKeys',
    'keys for sections',
    'Keys that go to a section of the tune instead of sounding, the lowest to the first.',
  ),
];
