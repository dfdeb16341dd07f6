/** The player chooses another voicing of the chord that sounds: what is struck, what stays, what is said. */
import { expect, test } from 'vitest';
import type { Setup } from '../../src/live/engine-api.ts';
import type { ChordReport } from '../../src/live/snapshot.ts';
import { strategyIds } from '../../src/voicing/voicing.ts';
import { createPlayer, type Player, plainPreset, shippedPreset } from './play.ts';

const dMinor = ['on D4', 'on F4', 'on A4', 'on C5', 'wait 60'] as const;
const dMinorUp = ['off D4', 'off F4', 'off A4', 'off C5', 'wait 60'] as const;
const g7 = ['on G4', 'on B4', 'on D5', 'on F5', 'wait 60'] as const;
const g7Up = ['off G4', 'off B4', 'off D5', 'off F5', 'wait 60'] as const;

const drop2: Setup = { preset: shippedPreset('drop-2-sevenths'), key: 'C major' };

function notesOf(report: ChordReport | undefined): number[] {
  return report?.sent.voices.map(({ note }) => note) ?? [];
}

function lastOf(player: Player): ChordReport | undefined {
  return player.engine.takeReports().at(-1);
}

function soundingIn(player: Player): number[] {
  return player.engine.snapshot().sounding.map(({ note }) => note);
}

/** Steps a turn once and checks that just the difference was sent, and what is told of it. */
function turn(player: Player, step: string): ChordReport {
  const before = soundingIn(player);
  const sent = player.play(`turn ${step}`).split(' ').filter(Boolean);
  const after = soundingIn(player);
  const report = lastOf(player);
  if (report === undefined) throw new Error(`nothing was told of "${step}"`);
  expect(notesOf(report)).toEqual(after);
  const offs = before.filter((note) => !after.includes(note)).map((note) => `-${note}`);
  const ons = after.filter((note) => !before.includes(note)).map((note) => `+${note}`);
  expect([...sent].sort()).toEqual([...offs, ...ons].sort());
  return report;
}

function endsEmpty(player: Player): void {
  player.engine.letGo(player.now());
  expect(player.engine.snapshot().sounding).toEqual([]);
}

test('every distinct voicing comes once, only what differs is struck, and on and back is the same', () => {
  const player = createPlayer(drop2);
  player.play(...g7, ...g7Up, ...dMinor);
  const first = lastOf(player);
  const seen = new Set([notesOf(first).join(' ')]);
  const one = turn(player, 'voicing 1');
  const count = one.choice?.of ?? 0;
  expect(count).toBeGreaterThan(3);
  expect(one).toMatchObject({ isRevoiced: true, heard: { symbol: 'Dm7' } });
  seen.add(notesOf(one).join(' '));
  for (let step = 2; step < count; step += 1) {
    const next = turn(player, 'voicing 1');
    expect(next.choice?.of).toBe(count);
    seen.add(notesOf(next).join(' '));
  }
  expect(seen.size).toBe(count);
  // Round to the first, and back over it.
  expect(notesOf(turn(player, 'voicing 1'))).toEqual(notesOf(first));
  expect(notesOf(turn(player, 'voicing -1'))).not.toEqual(notesOf(first));
  expect(notesOf(turn(player, 'voicing 1'))).toEqual(notesOf(first));
  expect(player.play(...dMinorUp)).not.toContain('+');
  expect(player.engine.snapshot().sounding).toEqual([]);
  endsEmpty(player);
});

test('all voices are struck anew where the setting says so', () => {
  const player = createPlayer({ ...drop2, choosing: { strikes: 'all' } });
  player.play(...dMinor);
  const before = soundingIn(player);
  const sent = player.play('turn voicing 1').split(' ');
  expect(sent.filter((word) => word.startsWith('-'))).toEqual(before.map((note) => `-${note}`));
  expect(sent.filter((word) => word.startsWith('+'))).toEqual(
    soundingIn(player).map((note) => `+${note}`),
  );
});

test('the bass goes through the tones of the chord, each with the symbol that results', () => {
  const player = createPlayer(drop2);
  player.play(...dMinor);
  const first = lastOf(player);
  const symbols = [1, 2, 3].map(() => turn(player, 'bass 1').sent.symbol.split('/')[1]);
  expect(symbols).toEqual(['F', 'A', 'C']);
  expect(notesOf(turn(player, 'bass 1'))).toEqual(notesOf(first));
  expect(turn(player, 'bass -1').sent.symbol).toMatch(/\/C$/);
  // What is chosen next is over the bass chosen before.
  expect(turn(player, 'voicing 1').sent.symbol).toMatch(/\/C$/);
  endsEmpty(player);
});

test('a bass that is held in the hand is no matter of choice', () => {
  const player = createPlayer({ preset: shippedPreset('drop-2-bass-played'), key: 'C major' });
  player.play('on D2', ...dMinor);
  player.engine.takeReports();
  expect(player.play('turn bass 1')).toBe('');
  expect(player.engine.snapshot().said?.sentences.at(-1)).toBe(
    'The bass is the key you hold; let it go to choose another.',
  );
  endsEmpty(player);
});

test('the same chord in every technique that has a proper voicing of it, under the same lead', () => {
  const setup = { preset: shippedPreset('fourths-over-root'), key: 'C major' };
  const player = createPlayer(setup);
  player.play(...dMinor);
  const first = lastOf(player);
  const top = notesOf(first).at(-1) ?? 0;
  const found: string[] = [];
  const leads: number[] = [];
  const heard = [notesOf(first).join(' ')];
  let of = 2;
  for (let step = 1; step < of; step += 1) {
    const next = turn(player, 'technique 1');
    of = next.choice?.of ?? 0;
    found.push(next.sent.technique ?? '');
    leads.push(notesOf(next).at(-1) ?? 0);
    heard.push(notesOf(next).join(' '));
    expect(next.sent.relaxed).toEqual([]);
  }
  expect(new Set(found).size).toBe(found.length);
  // Another name for the same notes is nothing to choose.
  expect(new Set(heard).size).toBe(heard.length);
  expect(found.length).toBeGreaterThan(9);
  expect(found).not.toContain('fourths');
  expect(found.every((id) => (strategyIds as readonly string[]).includes(id))).toBe(true);
  // Five can have the very lead and all that the chord names, and none is further off than a fifth.
  expect(leads.filter((lead) => lead === top).length).toBeGreaterThanOrEqual(5);
  expect(leads.every((lead) => Math.abs(lead - top) <= 7)).toBe(true);
  expect(notesOf(turn(player, 'technique 1'))).toEqual(notesOf(first));
  endsEmpty(player);
});

test('the lead goes higher and lower to the ends, which are said', () => {
  const player = createPlayer(drop2);
  player.play(...dMinor);
  const tops = [notesOf(lastOf(player)).at(-1) ?? 0];
  const { index = 0, of = 0 } = turn(player, 'lead 1').choice ?? {};
  for (let step = index; step < of; step += 1) {
    tops.push(notesOf(turn(player, 'lead 1')).at(-1) ?? 0);
  }
  expect(tops).toEqual([...tops].sort((one, other) => one - other));
  expect(new Set(tops).size).toBe(tops.length);
  const before = soundingIn(player);
  expect(player.play('turn lead 1')).toBe('');
  expect(soundingIn(player)).toEqual(before);
  expect(player.engine.snapshot().said).toEqual({
    count: 1,
    sentences: [
      'There is no higher lead for Dm7 in this register; move the register, or turn back.',
    ],
  });
  turn(player, 'lead -1');
  endsEmpty(player);
});

test('one voice more or fewer where the strategy has it', () => {
  const player = createPlayer({ preset: shippedPreset('fourths-over-root'), key: 'C major' });
  player.play(...dMinor);
  const count = notesOf(lastOf(player)).length;
  expect(notesOf(turn(player, 'voices 1'))).toHaveLength(count + 1);
  expect(notesOf(turn(player, 'voices -1'))).toHaveLength(count);
  endsEmpty(player);
  const four = createPlayer({ preset: { ...plainPreset, strategy: 'drop-2', voices: 4 } });
  four.play(...dMinor);
  four.engine.takeReports();
  expect(four.play('turn voices 1')).toBe('');
  expect(four.engine.snapshot().said?.sentences).toEqual([
    'This technique has no voicing of Dm7 with more voices.',
  ]);
});

test('what is chosen stays while its chord is played again, and the next chord is led from it', () => {
  const player = createPlayer(drop2);
  player.play(...dMinor);
  const chosen = turn(player, 'lead 1');
  player.play(...dMinorUp, ...dMinor);
  expect(soundingIn(player)).toEqual(notesOf(chosen));
  player.play(...dMinorUp, ...g7);
  const after = soundingIn(player).at(-1) ?? 0;
  expect(Math.abs(after - (notesOf(chosen).at(-1) ?? 0))).toBeLessThanOrEqual(2);
  player.play(...g7Up, ...dMinor);
  expect(lastOf(player)?.choice).toBeUndefined();
  endsEmpty(player);
});

test('with no key down the last chord is meant, and is heard at the next press, after a rest too', () => {
  const player = createPlayer(drop2);
  player.play(...dMinor, ...dMinorUp);
  player.engine.takeReports();
  expect(player.play('turn bass 1', 'turn voicing 1')).toBe('');
  const [bass, chosen] = player.engine.takeReports();
  expect(bass).toMatchObject({ isUnheard: true, choice: { by: 'bass', index: 2 } });
  expect(chosen).toMatchObject({ isUnheard: true, choice: { by: 'voicing' } });
  player.play('wait 3000', ...dMinor);
  expect(soundingIn(player)).toEqual(notesOf(chosen));
  const heard = lastOf(player);
  expect(heard?.isUnheard).toBeUndefined();
  expect(heard?.choice).toEqual(chosen?.choice);
  endsEmpty(player);
});

test('a late finger that makes another chord takes the choice away, and one that makes the chosen chord brings it back', () => {
  const player = createPlayer(drop2);
  player.play(...dMinor);
  const chosen = turn(player, 'lead 1');
  player.play(...dMinorUp, 'on D4', 'on F4', 'on A4', 'wait 15', 'on C5', 'wait 60');
  expect(soundingIn(player)).toEqual(notesOf(chosen));
  endsEmpty(player);
});

test('an order behind keys that wait is obeyed once they are read', () => {
  const player = createPlayer({
    preset: { ...plainPreset, gathering: { mode: 'fixed', ceilingMilliseconds: 50 } },
  });
  expect(player.play('on C4', 'on E4', 'on G4', 'turn voicing 1')).toBe('');
  player.play('wait 100');
  const reports = player.engine.takeReports();
  expect(reports.at(-1)?.choice).toMatchObject({ by: 'voicing' });
  endsEmpty(player);
});

test('pedals turn, and what stands around the choice is told', () => {
  const controls = { nextBass: { controller: 66 }, lowerLead: { controller: 67 } };
  const player = createPlayer({ ...drop2, controls });
  player.play(...dMinor);
  expect(player.engine.snapshot().choices).toBeUndefined();
  player.play('cc 66 127', 'cc 66 0', 'cc 66 127');
  const { choices } = player.engine.snapshot();
  expect(choices).toMatchObject({ by: 'bass', index: 3, of: 4 });
  expect(choices?.near.map(({ index, symbol }) => `${index} ${symbol.split('/')[1]}`)).toEqual([
    '1 undefined',
    '2 F',
    '3 A',
    '4 C',
  ]);
  const now = choices?.near[2];
  expect(now?.voices).toEqual(lastOf(player)?.sent.voices.map(({ name }) => name));
  expect(now?.struck).toEqual([]);
  expect(choices?.near[3]?.struck.length).toBeGreaterThan(0);
  player.play('cc 67 127');
  expect(player.engine.snapshot().choices?.by).toBe('lead');
  player.play(...dMinorUp, ...g7);
  expect(player.engine.snapshot().choices).toBeUndefined();
  endsEmpty(player);
});

test('before the first chord there is nothing to choose for', () => {
  const player = createPlayer(drop2);
  expect(player.play('turn voicing 1')).toBe('');
  expect(player.engine.snapshot().said?.sentences).toEqual([
    'There is no chord to choose for yet; play one first.',
  ]);
});

test('another preset forgets the choice and offers its own', () => {
  const player = createPlayer(drop2);
  player.play(...dMinor);
  turn(player, 'lead 1');
  const fourths = { ...drop2, preset: shippedPreset('fourths-over-root') };
  player.engine.change(fourths, player.now());
  player.engine.takeReports();
  const next = turn(player, 'voicing 1');
  expect(next).toMatchObject({ sent: { technique: 'fourths' }, preset: 'fourths-over-root' });
  endsEmpty(player);
});
