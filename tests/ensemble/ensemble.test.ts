import { describe, expect, test } from 'vitest';
import { parseEnsemble } from '../../src/ensemble/ensemble.ts';

function namesOf(text: string): readonly string[] {
  const parsed = parseEnsemble(text);
  if (!parsed.ok) throw new Error(parsed.fault);
  return parsed.value.players.map(({ name }) => name);
}

function faultOf(text: string): string {
  const parsed = parseEnsemble(text);
  return parsed.ok ? '' : parsed.fault;
}

describe('who plays', () => {
  test.each([
    ['trumpet, alto sax, tenor sax, trombone', 'Trumpet|Alto sax|Tenor sax|Trombone'],
    ['2 trumpets, Trombone', 'Trumpet 1|Trumpet 2|Trombone'],
    ['trumpet 1, trumpet 2', 'Trumpet 1|Trumpet 2'],
    ['tenor saxes x2,flutes', 'Tenor sax 1|Tenor sax 2|Flute'],
    ['violas, cellos, double basses', 'Viola|Cello|Double bass'],
    ['saxes', 'Alto sax 1|Alto sax 2|Tenor sax 1|Tenor sax 2|Baritone sax'],
    ['choir SATB', 'Soprano|Alto|Tenor|Bass'],
    ['soprano, alto, bass', 'Soprano|Alto|Bass'],
    ['brass, double bass', 'Trumpet 1|Trumpet 2|Horn|Trombone|Tuba|Double bass'],
    ['guitar', 'Guitar'],
  ])('%s', (text, names) => {
    expect(namesOf(text).join('|')).toBe(names);
  });

  test.each([
    ['kazoo', "there is no instrument or section 'kazoo'"],
    ['trumpet, alto', "'alto' could be alto voice or alto sax; say which"],
    ['bass', "'bass' could be bass voice, double bass or bass guitar; say which"],
    [' , ', 'nobody is named'],
    ['17 trumpets', 'there are more than 16 players; write for them section by section'],
    ['0 trumpets', "'0 trumpets' is nobody"],
  ])('%j is refused', (text, fault) => {
    expect(faultOf(text)).toBe(fault);
  });

  test('the lowest part is the lowest instrument, and of two alike the first is higher', () => {
    const parsed = parseEnsemble('trombone, 2 trumpets, tuba, alto sax');
    const players = parsed.ok ? parsed.value.players : [];
    const order = parsed.ok ? parsed.value.parts.map(({ player }) => players[player]?.name) : [];
    expect(order).toEqual(['Tuba', 'Trombone', 'Alto sax', 'Trumpet 2', 'Trumpet 1']);
  });

  test('a guitar is four strings under one hand', () => {
    const parsed = parseEnsemble('guitar');
    const parts = parsed.ok ? parsed.value.parts : [];
    expect(parts.map(({ range }) => range.lowest)).toEqual([50, 55, 59, 64]);
    expect(new Set(parts.map(({ range }) => range.string?.hand)).size).toBe(1);
  });
});
