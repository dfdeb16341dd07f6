/**
 * The program in a real terminal, as a user meets it: tmux is the terminal. Needs the built program
 * and tmux; says so by name when tmux is missing.
 */
import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeAll, describe, expect, test, vi } from 'vitest';
import { setUp } from '../../scripts/set-up.mjs';
import { end, hasTmux, press, program, root, see, start, startShell, tmux, type } from './tmux.ts';

const title = hasTmux ? 'in a terminal' : 'in a terminal (skipped: no tmux)';
describe.skipIf(!hasTmux)(title, { timeout: 60_000 }, () => {
  beforeAll(() => setUp(), 120_000);
  afterEach(end);

  // Of the sizes each is walked through once: here or in walk.test.ts.
  test.each([[120, 40]])(
    'rehearsal at %i x %i: play, choose, leave, and the terminal is as before',
    async (columns, rows) => {
      start(columns, rows, 'play', '--rehearse', '--key', 'Eb');
      await see(/rehearsal/);
      tmux('send-keys', '-t', 'stage', '1');
      // The tonic triad of Eb in the first preset: three-part fourths over the root.
      const playing = await see(/three-part fourths over the root/);
      expect(playing).toMatch(/E♭2\s+1\s+bass/);
      for (const line of playing.split('\n')) expect(line.length).toBeLessThanOrEqual(columns);
      tmux('send-keys', '-t', 'stage', 'Down');
      await see(/▸ +Fourths over the third/);
      tmux('send-keys', '-t', 'stage', '4');
      await see(/over the 3rd/);
      // Grown meanwhile: nothing of the larger page may be in what scrolled by before.
      tmux('resize-window', '-t', 'stage', '-x', '160', '-y', '50');
      await see(/^.{130,}$/m);
      tmux('send-keys', '-t', 'stage', 'q');
      tmux('send-keys', '-t', 'stage', 'q');
      await see(/ended with 0/);
      const after = tmux('capture-pane', '-p', '-S', '-200', '-t', 'stage');
      expect(after).not.toMatch(/heard|sounds|voices|presets/);
      expect(tmux('display-message', '-p', '-t', 'stage', '#{alternate_on} #{cursor_flag}')).toBe(
        '0 1\n',
      );
    },
  );

  test.each([[100, 30]])(
    'a whole tune at %i x %i: first steps, play, choose, copy, edit, save, look back, set up, leave',
    async (columns, rows) => {
      const home = start(columns, rows, 'play', '--rehearse', '--key', 'Eb');
      await see(/1 Choose: /);
      press('1');
      await see(/E♭2 +1 +bass/);
      press('4', '5');
      await see(/B♭2 +1 +bass ↑2/);
      press('Tab');
      await see(/all presets +\d+, on stage/);
      press('/');
      type('spread tenths');
      await see(/search: spread tenths_/);
      press('Enter');
      await see(/▸ +Spread tenths/);
      press('Enter');
      await see(/Spread tenths +plays/);
      press('c');
      await see(/name of the copy: +My spread tenths_/);
      press('Enter');
      await see(/My spread tenths +as saved/);
      press('Down');
      await see(/▸ about/);
      press('Enter');
      await see(/about +.*_/);
      press('C-u');
      type('Wider');
      await see(/Wider_/);
      press('Enter');
      await see(/changed, not saved/);
      press('w');
      await see(/Saved in .*my-spread-tenths\.json/);
      const saved = readFileSync(join(home, 'presets', 'my-spread-tenths.json'), 'utf8');
      expect(JSON.parse(saved).about).toBe('Wider');
      press('Escape');
      await see(/all presets/);
      press('Tab');
      await see(/heard +in key +sounded/);
      press('Left');
      await see(/▸ 2 +A♭ +IV/);
      press('c');
      await see(/The chart of \d+ chords? is in/);
      press('Tab');
      await see(/charts +1 /);
      press('Tab');
      const last = await see(/output channels|voices, register/);
      for (const line of last.split('\n')) expect(line.length).toBeLessThanOrEqual(columns);
      press('Escape');
      await see(/▸stage/);
      press('q', 'q');
      await see(/ended with 0/);
      const settings = JSON.parse(readFileSync(join(home, 'settings.json'), 'utf8'));
      expect(settings).toMatchObject({ preset: 'my-spread-tenths', isGuided: true });
    },
  );

  test('too small a terminal says so and goes on', async () => {
    start(39, 18, 'play', '--rehearse');
    await see(/Needs 40×12, has 39×18\./);
    press('C-c');
    await see(/ended with 0/);
  });

  test('for a screen reader it writes sentences and draws nothing', async () => {
    start(100, 30, 'play', '--rehearse', '--key', 'Eb', '--screen-reader');
    await see(/Page stage\./);
    press('1');
    const told = await see(/Sounds E flat/);
    expect(told).toContain('Heard E flat: E flat 4, G 4, B flat 4.');
    expect(told).not.toMatch(/[─█▸]/);
    press('C-c');
    await see(/ended with 0/);
  });

  test('a terminal that can draw nothing gets lines, and takes orders', async () => {
    startShell(80, 24, `TERM=dumb ${program} play --rehearse`);
    await see(/\(TERM=dumb\) can draw no screen/);
    await see(/three-part fourths/);
    type('preset close-sixths');
    press('Enter');
    await see(/\[close-sixths\]/);
    type('quit');
    press('Enter');
    await see(/ended with 0/);
  });

  test('two at once: the stage leaves what a second terminal wrote meanwhile', async () => {
    const home = start(80, 24, 'play', '--rehearse', '--key', 'Eb');
    await see(/1 Choose: /);
    const setlists = ['setlists', 'set', 'Evening', 'close-sixths', 'drop-2-high'];
    execFileSync(process.execPath, [join(root, 'dist', 'cli.js'), ...setlists], {
      env: { ...process.env, HANDSPAN_HOME: home },
    });
    press('Down');
    await see(/▸ +Fourths over the third/);
    press('q', 'q');
    await see(/ended with 0/);
    expect(JSON.parse(readFileSync(join(home, 'settings.json'), 'utf8'))).toEqual({
      setlists: { Evening: ['close-sixths', 'drop-2-high'] },
      preset: 'fourths-over-third',
    });
  });

  test('a hang-up ends it cleanly, with the take written and the settings kept', async () => {
    const home = mkdtempSync(join(tmpdir(), 'handspan-terminal-'));
    const take = join(home, 'take.mid');
    start(100, 30, 'play', '--rehearse', '--record', take);
    await see(/rehearsal/);
    tmux('send-keys', '-t', 'stage', '1');
    await see(/three-part/);
    // Only the program itself, a child of the shell that waits for it.
    const shell = tmux('display-message', '-p', '-t', 'stage', '#{pane_pid}').trim();
    execFileSync('pkill', ['-HUP', '-P', shell]);
    await see(/ended with 0/);
    expect(readFileSync(take).subarray(0, 4).toString()).toBe('MThd');
  });

  test('a terminal that is closed ends it as by its signal, and nothing crashes', async () => {
    const how = join(mkdtempSync(join(tmpdir(), 'handspan-terminal-')), 'how');
    // The shell outlives the terminal and writes how its child ended.
    const command = `${program} play --rehearse; echo $? > ${how}`;
    const home = startShell(80, 24, `bash -c 'trap : HUP; ${command}'`);
    await see(/rehearsal/);
    press('Down');
    await see(/▸ +Fourths over the third/);
    end();
    const ended = () => vi.waitFor(() => readFileSync(how, 'utf8'), { timeout: 20_000 });
    expect(await ended()).toBe('129\n');
    expect(readFileSync(join(home, 'settings.json'), 'utf8')).toMatch(/fourths-over-third/);
  });
});
