/** Listening by orders and its end by others: what is said, what sounds, and what an audition does. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, onTestFinished, test } from 'vitest';
import { rehearseIn } from '../helpers/rehearsal.ts';

function rehearse() {
  const folder = mkdtempSync(join(tmpdir(), 'handspan-listen-'));
  onTestFinished(() => rmSync(folder, { recursive: true }));
  return rehearseIn(folder, 'fourths-over-root');
}

test('what is played is named and not revoiced, until it is told to stop', async () => {
  const order = rehearse();
  const { said } = await order('listen');
  expect(said[0]).toMatch(/^Listening: /u);
  expect((await order('listen')).said[0]).toMatch(/^Listening: /u);
  const [line] = (await order('play D3 C4 F4 A4')).lines;
  expect(line).toMatchObject({ listened: true, span: 9, sent: { symbol: 'Dm7' } });
  expect(line?.sent.notes.map(({ midi }) => midi)).toEqual([50, 60, 65, 69]);
  expect((await order('voicing next')).said[0]).toContain('Nothing is revoiced');
  expect((await order('listen now')).said[0]).toContain("'listen now' is no order");
  expect((await order('listen off')).said[0]).toMatch(/^No longer listening/u);
  const [voiced] = (await order('let go', 'play Dm')).lines;
  expect(voiced).not.toHaveProperty('listened');
  expect(voiced?.sent.notes.map(({ midi }) => midi)).not.toEqual(
    voiced?.heard.notes.map(({ midi }) => midi),
  );
});

test('a preset is heard voiced while it listens, and it listens on', async () => {
  const order = rehearse();
  await order('listen', 'play D3 C4 F4 A4', 'let go');
  order.session.say('');
  order.own.auditions.play('drop-2-sevenths');
  const { lines } = await order('');
  expect(lines.at(-1)?.preset).toBe('drop-2-sevenths');
  expect(lines.at(-1)).not.toHaveProperty('listened');
  order.own.auditions.close();
  await order('');
  expect(order.session.isListening).toBe(true);
  expect(order.session.message).toBe('');
});
