/** The options of `handspan chart`. */
import { keyForms } from '../../harmony/key/key.ts';
import { reaches } from '../../voicing/hands.ts';
import { scoreOptions } from '../scores/score-files.ts';
import { wavOptions } from '../sound/wav.ts';

export const chartOptions = {
  preset: { type: 'string', value: 'NAME', about: 'Voice with this preset' },
  strategy: {
    type: 'string',
    value: 'NAME',
    about: 'Build voicings this way, in place of a preset',
  },
  compare: {
    type: 'string',
    value: 'NAMES',
    about: 'Voice it in two to eight ways side by side: strategies or presets, with commas between',
  },
  reach: {
    type: 'string',
    value: 'NAME',
    about: `With --compare: what one hand spans, ${reaches.join(', ')}; a ninth when left out`,
  },
  explain: {
    type: 'boolean',
    about: 'Also say of each chord how it is built and why it is this one, with rules and sources',
  },
  for: {
    type: 'string',
    value: 'PLAYERS',
    about:
      "Write for players: 'trumpet, alto sax, trombone', or strings, brass, saxes, choir, guitar",
  },
  out: {
    type: 'string',
    value: 'FOLDER',
    about:
      'With --for: the score and a part for each player, as MusicXML, pictures and MIDI; symbols over the parts with --symbols written',
  },
  unisons: { type: 'boolean', about: 'With --for: two players may have the same note' },
  crossings: { type: 'boolean', about: 'With --for: a lower part may go above a higher one' },
  'transposed-score': {
    type: 'boolean',
    about: 'With --for: the score as the parts are written, not as it sounds',
  },
  shape: {
    type: 'string',
    value: 'DEGREES',
    about: "A shape of your own, lowest first: '1 5 9 b3 b7', '1 / 7 3 5'",
  },
  key: {
    type: 'string',
    value: 'KEY',
    about: `The key, instead of the chart's own: ${keyForms}`,
  },
  register: {
    type: 'string',
    value: 'LOW-HIGH',
    about: 'Where the upper voices stand, such as D3-G4 or 50-67',
  },
  'bass-register': { type: 'string', value: 'LOW-HIGH', about: 'Where the bass stands' },
  bass: {
    type: 'string',
    value: 'POLICY',
    about: 'root, third, fifth, seventh, as-played, pedal (or pedal=A1), line or none',
  },
  voices: { type: 'string', value: 'N', about: 'Voices above the bass' },
  melody: { type: 'boolean', about: 'Of a MusicXML score: harmonise under its melody' },
  json: { type: 'boolean', about: 'Answer as JSON' },
  midi: { type: 'string', value: 'FILE', about: 'Also write a MIDI file' },
  chart: {
    type: 'string',
    value: 'FILE',
    about: 'Also write the chart itself as text, each symbol in one form',
  },
  ...wavOptions,
  listen: { type: 'boolean', about: 'Play it at its tempo on the built-in sound' },
  'from-bar': {
    type: 'string',
    value: 'N',
    about: 'Listen from this bar on, as they are played',
  },
  loop: { type: 'boolean', about: 'Listen again and again' },
  click: { type: 'boolean', about: 'Listen with a click on every beat' },
  'count-in': { type: 'boolean', about: 'Listen after a bar that is counted' },
  ...scoreOptions,
  force: { type: 'boolean', about: 'Let files that are written overwrite others' },
} as const;
