/** Files that are written get names of their kind, or are refused before anything is done. */
import { existsSync, mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { endingProblem } from '../../src/commands/output-endings.ts';
import { runCommand } from './run-command.ts';

const folder = mkdtempSync(join(tmpdir(), 'handspan-endings-'));

test.each([
  ['--wav', 'x.mp3', "'--wav x.mp3' would be a WAV file: name it x.wav."],
  ['--wav', 'my.tune', "'--wav my.tune' would be a WAV file: name it my.wav."],
  ['--midi', 'tune', "'--midi tune' would be a MIDI file: name it tune.mid."],
  ['--record', 'take.wav', "'--record take.wav' would be a MIDI file: name it take.mid."],
  ['--musicxml', 'tune.mxl', "'--musicxml tune.mxl' would be MusicXML: name it tune.musicxml."],
  ['--svg', 'page.png', "'--svg page.png' would be a picture as SVG: name it page.svg."],
  ['--chart', 'tune.mid', "'--chart tune.mid' would be a chart as text: name it tune.txt."],
])('%s %s', (option, file, sentence) => {
  expect(endingProblem(option, file)).toBe(sentence);
});

test('names of the kind, pipes and devices are right, in capitals too', () => {
  const right = [
    ['--wav', 'X.WAV'],
    ['--midi', 'v1.2.midi'],
    ['--musicxml', 'x.xml'],
    ['--chart', 'tune'],
    ['--wav', '/dev/null'],
    ['--midi', undefined],
    ['--hand-out', 'x.mp3'],
  ] as const;
  for (const [option, file] of right)
    expect([file, endingProblem(option, file)]).toEqual([file, '']);
});

test('a command that would write another kind of file is misused, and writes nothing', async () => {
  const at = (name: string) => join(folder, name);
  for (const [file, ...words] of [
    [at('a.mp3'), 'chart', '| C |', '--wav', at('a.mp3')],
    [at('b.mp3'), 'revoice', at('none.mid'), '--out', at('b.mp3')],
    [at('c.txt'), 'play', '--rehearse', '--plain', '--record', at('c.txt')],
  ] as const) {
    const { code, out, err } = await runCommand(...words);
    expect([code, out, err]).toEqual([2, '', expect.stringContaining(`${file}' would be a `)]);
    expect(existsSync(file)).toBe(false);
  }
});
