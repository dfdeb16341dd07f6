/** `handspan chart --for`: as text, as JSON, and what is refused. */
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parseMidi } from 'midi-file';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { runCommand } from './run-command.ts';

const folder = mkdtempSync(join(tmpdir(), 'handspan-players-'));
const before = process.env['HANDSPAN_HOME'];
beforeAll(() => {
  process.env['HANDSPAN_HOME'] = folder;
});
afterAll(() => {
  if (before === undefined) delete process.env['HANDSPAN_HOME'];
  else process.env['HANDSPAN_HOME'] = before;
  rmSync(folder, { recursive: true });
});

const changes = 'key: Eb\n| Ebmaj7 | Cm7 F7 | Fm7 Bb7 | Eb6 |';
const quartet = 'trumpet, alto sax, tenor sax, trombone';

async function chartFor(players: string, ...options: readonly string[]) {
  return await runCommand('chart', changes, '--strategy', 'drop-2', '--for', players, ...options);
}

describe('chart --for', () => {
  test('tells who plays what, in columns, and what each part has', async () => {
    const { code, out, err } = await chartFor(quartet);
    expect([code, err]).toEqual([0, '']);
    const lines = out.split('\n');
    expect(lines[0]).toContain('drop-2 for trumpet, alto sax, tenor sax, trombone (4 players)');
    expect(lines[2]?.trim().split(/\s{2,}/)).toEqual([
      ...['Trumpet', 'Alto sax', 'Tenor sax', 'Trombone'],
    ]);
    expect(lines[3]?.trim().split(/\s{2,}/)).toEqual([
      ...['1.1', 'Ebmaj7', 'D5 7', 'G4 3', 'Eb4 1', 'Bb3 5'],
    ]);
    expect(out).toMatch(/ {2}Alto sax {3}in C major, /);
    expect(out).toContain('Nobody here is left for the bass');
  });

  test('as JSON has what a chart has, and of each chord its parts', async () => {
    const { out } = await chartFor(quartet, '--json');
    const answer = JSON.parse(out);
    expect(Object.keys(answer)).toEqual([
      ...['preset', 'strategy', 'cost', 'ensemble', 'players', 'chords', 'remarks'],
    ]);
    expect(answer.players[1]).toMatchObject({
      ...{ name: 'Alto sax', instrument: 'alto-sax', key: 'C major' },
      transposition: { chromatic: -9, diatonic: -5 },
    });
    expect(answer.chords[0].parts[1]).toEqual({
      player: 'Alto sax',
      notes: [{ midi: 67, name: 'G4', written: 'E5', degree: '3', isDoubling: false }],
    });
    expect(answer.chords[0].notes).toHaveLength(4);
  });

  test('a guitarist gets the frets of each string', async () => {
    const { out } = await chartFor('guitar');
    // D string at Bb3 the eighth, G at Eb4 the eighth, B at G4 the eighth, E at D5 the tenth.
    expect(out).toContain('Bb3 Eb4 G4 D5, frets 8-8-8-10');
    const json = JSON.parse((await chartFor('guitar', '--json')).out);
    expect(json.chords[0].parts[0].notes[3]).toMatchObject({ name: 'D5', fret: 10 });
  });

  test('knows sections of the user by their names in the settings', async () => {
    const file = join(folder, 'settings.json');
    writeFileSync(file, JSON.stringify({ sections: { 'Pit band': ['flute', '2 clarinets'] } }));
    const { code, out } = await chartFor('pit band, trombone');
    rmSync(file);
    expect(code).toBe(0);
    expect(out).toMatch(/Flute +Clarinet 1 +Clarinet 2 +Trombone/);
  });

  test('writes score, parts, pictures, MIDI and a list into one folder', async () => {
    const out = join(folder, 'parts');
    const { code, err } = await chartFor('trumpet, trombone', '--out', out);
    expect(code).toBe(0);
    expect(err).toBe(
      `handspan: a score and 2 parts as MusicXML and pictures, and a MIDI file are in ${out}\n`,
    );
    const names = readdirSync(out).sort();
    const both = ['score', 'trombone', 'trumpet'].flatMap((name) => [
      `${name}.musicxml`,
      `${name}.svg`,
    ]);
    expect(names).toEqual(['parts.json', 'score.mid', ...both].sort());
    const { files } = JSON.parse(readFileSync(join(out, 'parts.json'), 'utf8'));
    expect([...files].sort()).toEqual(names);
    const { tracks } = parseMidi(readFileSync(join(out, 'score.mid')));
    const programs = tracks.flatMap((events) =>
      events.flatMap((event) => (event.type === 'programChange' ? [event.programNumber] : [])),
    );
    expect(programs).toEqual([56, 57]);
    const again = await chartFor('trumpet, trombone', '--out', out);
    expect([again.code, again.out]).toEqual([1, '']);
    expect(again.err).toContain('would overwrite');
  });

  test.each([
    [['--for', 'trompet'], "no instrument or section 'trompet' (nearest: 'trumpet'"],
    [['--for', 'kazoo'], "section 'kazoo'; 'handspan help players' lists them"],
    [['--for', 'bass'], "'bass' could be bass voice, double bass or bass guitar; say which"],
    [['--for', ' '], 'nobody is named'],
    [['--for', 'saxes', '--compare', 'drop-2,fourths'], "'--for' and '--compare'"],
    [['--unisons'], "'--unisons' is for players; add '--for saxes'"],
    [['--out', 'parts'], "'--out' is for players; add '--for saxes'"],
    [['--for', '12 flutes', '--strategy', 'shell'], 'has nothing to play'],
  ])('%j is refused with a sentence', async (options, sentence) => {
    const { code, out, err } = await runCommand('chart', changes, ...options);
    expect(out).toBe('');
    expect(err).toContain(sentence);
    expect(code).toBe(sentence.includes('nothing to play') ? 1 : 2);
  });
});
