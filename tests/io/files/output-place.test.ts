/** Links, pipes and rights where a file is to be written; what POSIX calls them is common practice. */
import { execFileSync, spawn } from 'node:child_process';
import { once } from 'node:events';
import {
  chmodSync,
  closeSync,
  constants,
  lstatSync,
  mkdirSync,
  mkdtempSync,
  openSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import { prepareOutputFile } from '../../../src/io/files/output-file.ts';
import { identityOf } from '../../../src/io/files/output-place.ts';
import { writeWhole } from '../../../src/io/files/whole-file.ts';

const bytes = Uint8Array.of(77, 84, 104, 100);
let folder = '';
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'output-place-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

function prepare(name: string, isOverwriting: boolean) {
  const wish = { what: 'score', example: 'score.svg', isOverwriting };
  return prepareOutputFile(join(folder, name), wish);
}
function save(name: string, content = bytes, isOverwriting = true) {
  const file = prepare(name, isOverwriting);
  return file.ok ? file.value.save(content) : file;
}
function tryToOpen(path: string): number | undefined {
  try {
    return openSync(path, constants.O_WRONLY | constants.O_NONBLOCK);
  } catch {
    return undefined;
  }
}
const at = (name: string) => join(folder, name);

describe.skipIf(process.platform === 'win32')('an output', () => {
  test('keeps the rights of the file it replaces', () => {
    writeFileSync(at('old'), '');
    chmodSync(at('old'), 0o600);
    expect(save('old')).toEqual({ ok: true, value: at('old') });
    expect(statSync(at('old')).mode & 0o7777).toBe(0o600);
    expect(readFileSync(at('old'))).toEqual(Buffer.from(bytes));
  });

  test.each([
    ['to a file', 'real', true],
    ['to nothing yet', 'new', false],
    ['into another folder', 'sub/real', true],
  ])('follows a link %s', (_name, target, exists) => {
    mkdirSync(at('sub'));
    if (exists) writeFileSync(at(target), 'old');
    symlinkSync(target, at('second'));
    symlinkSync('second', at('link'));
    expect(save('link', bytes, exists).ok).toBe(true);
    expect(lstatSync(at('link')).isSymbolicLink()).toBe(true);
    expect(lstatSync(at('second')).isSymbolicLink()).toBe(true);
    expect(readFileSync(at(target))).toEqual(Buffer.from(bytes));
    expect(readdirSync(folder).filter((name) => name.endsWith('.partial'))).toEqual([]);
  });

  test('a link to a file is refused like the file, and one into no folder like that', () => {
    writeFileSync(at('real'), 'old');
    symlinkSync('real', at('link'));
    symlinkSync('none/file', at('nowhere'));
    expect(prepare('link', false)).toMatchObject({ ok: false });
    expect(prepare('nowhere', true)).toEqual({
      ok: false,
      problem: `The score cannot be written to ${at('nowhere')}: there is no folder ${at('none')}; make it first.`,
    });
    expect(readFileSync(at('real'), 'utf8')).toBe('old');
  });

  test.each([1, 2, 3])('a circle of links, %i long, is refused and left alone', (length) => {
    for (let place = 0; place < length; place += 1) {
      symlinkSync(`link-${(place + 1) % length}`, at(`link-${place}`));
    }
    for (const isOverwriting of [true, false]) {
      expect(prepare('link-0', isOverwriting)).toEqual({
        ok: false,
        problem: `The score cannot be written to ${at('link-0')}: it is a link that leads round in a circle; choose another name.`,
      });
    }
    expect(() => writeWhole(at('link-0'), bytes)).toThrow('too many links');
    expect(readdirSync(folder).every((name) => lstatSync(at(name)).isSymbolicLink())).toBe(true);
    expect(readdirSync(folder)).toHaveLength(length);
  });

  test('is one and the same however it is reached, and another when it is another', () => {
    mkdirSync(at('sub'));
    symlinkSync('sub', at('way'));
    symlinkSync('sub/a', at('link'));
    const ways = ['sub/a', 'sub/../sub/a', './sub/a', 'way/a', 'link'];
    for (const exists of [false, true]) {
      if (exists) writeFileSync(at('sub/a'), '');
      expect(new Set(ways.map((way) => identityOf(at(way)))).size).toBe(1);
    }
    expect(identityOf(at('sub/b'))).not.toBe(identityOf(at('sub/a')));
    expect(identityOf('/dev/null')).toBeUndefined();
  });

  test.each([true, false])(
    'goes into a pipe, longer than the pipe holds',
    async (isOverwriting) => {
      execFileSync('mkfifo', [at('pipe')]);
      const reader = spawn('sh', ['-c', 'cat "$0" > "$1"', at('pipe'), at('read')]);
      const content = new Uint8Array(300_000).map((_, place) => place % 251);
      // Cannot be opened like this before the reader has opened its end.
      const waiting = await vi.waitUntil(() => tryToOpen(at('pipe')), { timeout: 10_000 });
      expect(save('pipe', content, isOverwriting)).toEqual({ ok: true, value: at('pipe') });
      closeSync(waiting);
      await once(reader, 'close');
      expect(statSync(at('pipe')).isFIFO()).toBe(true);
      expect(Buffer.compare(readFileSync(at('read')), content)).toBe(0);
    },
  );

  test('a pipe without a reader: said at once, and kept elsewhere', () => {
    execFileSync('mkfifo', [at('lonely-pipe')]);
    const saved = save('lonely-pipe');
    const sentence = saved.ok ? '' : saved.problem;
    expect(sentence).toContain('nobody reads from that pipe; it is in ');
    rmSync(/it is in (.*) instead/.exec(sentence)?.[1] ?? '');
    expect(statSync(at('lonely-pipe')).isFIFO()).toBe(true);
  });

  test('a socket is refused', async () => {
    const server = createServer().listen(at('socket'));
    await once(server, 'listening');
    expect(prepare('socket', true)).toEqual({
      ok: false,
      problem: `The score cannot be written to ${at('socket')}: that is neither a file nor a pipe; choose another name.`,
    });
    server.close();
  });
});

describe('a text in pieces', () => {
  const good = (value: string) => ({ ok: true, value }) as const;
  async function saveText(name: string, ...pieces: Parameters<typeof textFile>[1]) {
    return await textFile(name, pieces);
  }
  async function textFile(
    name: string,
    pieces: readonly (ReturnType<typeof good> | { readonly ok: false; readonly problem: string })[],
  ) {
    const file = prepare(name, true);
    return file.ok ? await file.value.saveText(pieces) : file;
  }

  test('is the pieces one after the other, however long', async () => {
    const pieces = Array.from({ length: 50 }, (_, place) => good(`${place}é`.repeat(20_000)));
    expect(await saveText('long', ...pieces)).toEqual(good(at('long')));
    expect(readFileSync(at('long'), 'utf8')).toBe(pieces.map(({ value }) => value).join(''));
  });

  test('leaves what was there when a piece is a problem', async () => {
    writeFileSync(at('old'), 'old');
    const problem = { ok: false, problem: 'The engraver stopped.' } as const;
    expect(await saveText('old', good('new'), problem)).toEqual(problem);
    expect(readFileSync(at('old'), 'utf8')).toBe('old');
    expect(readdirSync(folder)).toEqual(['old']);
  });
});

test("'-' is no file", () => {
  const wish = { what: 'score', example: 'score.svg', isOverwriting: true };
  expect(prepareOutputFile('-', wish)).toEqual({
    ok: false,
    problem:
      "The score cannot be written to -: name a file such as score.svg (./- for one called '-').",
  });
});
