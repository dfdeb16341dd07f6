/**
 * Hand-outs in a real browser: opened from the disk without a network, heard, printed, and judged by
 * axe-core. Left out where no Chromium is installed.
 */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { type Browser, chromium, type Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { progressionOfCharts } from '../../src/commands/chart/chart-progression.ts';
import { engrave } from '../../src/io/engraving/engrave.ts';
import { printingBrowser, printPage } from '../../src/io/engraving/print-page.ts';
import { handOutParts, type PageWish } from '../../src/score/hand-out/page.ts';
import { toMusicXml } from '../../src/score/musicxml.ts';
import type { Progression } from '../../src/score/progression.ts';
import { treated } from '../compare/treated.ts';
import { hasProgram } from '../helpers/outside.ts';

const hasChromium = hasProgram('chromium');
const folder = mkdtempSync(join(tmpdir(), 'hand-out-'));
const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

const title = '<img src=x onerror="document.title=1"> & "Lamps" </script><b>b</b>';

function pieceOf(text: string): Progression {
  const treatments = (['drop-2', 'fourths', 'hybrid'] as const).map((each) => treated(text, each));
  return progressionOfCharts(treatments, { isExplained: true, reach: 'ninth' });
}

/** Quick enough to be followed by a test. */
const music = `title: ${title}\nkey: Eb\ntempo: 240\n| Fm7 | Bb7 | Ebmaj7 | Eb6 |`;

const pictures = new Map<string, readonly string[]>();

/** The engraver takes its time: each score once. */
async function picturesOf(staves: Progression): Promise<readonly string[]> {
  const xml = toMusicXml(staves, { isForEngraver: true });
  const known = pictures.get(xml);
  if (known !== undefined) return known;
  const engraved = await engrave(xml, { paper: 'A4', isStrip: true });
  if (!engraved.ok) throw new Error(engraved.problem);
  pictures.set(xml, engraved.value.pages);
  return engraved.value.pages;
}

async function written(name: string, pieces: readonly Progression[], wish: PageWish) {
  const texts: string[] = [];
  for (const part of handOutParts(pieces, wish)) {
    if (typeof part === 'string') {
      texts.push(part);
      continue;
    }
    const pages = await picturesOf(part.staves);
    texts.push(...pages.map((svg, place) => part.figure(svg, place + 1)));
  }
  const path = join(folder, `${name}.html`);
  writeFileSync(path, texts.join(''));
  return pathToFileURL(path).href;
}

/** Listens to all that goes to the speakers, and keeps the loudest there was. */
function listen() {
  const connect = AudioNode.prototype.connect as (to: AudioNode) => AudioNode;
  AudioNode.prototype.connect = function (this: AudioNode, to: AudioNode) {
    if (to instanceof AudioDestinationNode) {
      const analyser = this.context.createAnalyser();
      analyser.fftSize = 32_768;
      analyser.smoothingTimeConstant = 0;
      Object.assign(window, { analyser });
      connect.call(this, analyser);
    }
    return connect.call(this, to);
  } as unknown as typeof AudioNode.prototype.connect;
}

/** Decibels at a frequency, and three quarters of a tone to either side of it, where no key is. */
function heardAt(page: Page, note: number): Promise<{ at: number; beside: number; most: number }> {
  return page.evaluate((midi) => {
    const { analyser } = window as unknown as { analyser: AnalyserNode };
    const levels = new Float32Array(analyser.frequencyBinCount);
    analyser.getFloatFrequencyData(levels);
    const samples = new Float32Array(analyser.fftSize);
    analyser.getFloatTimeDomainData(samples);
    const width = analyser.context.sampleRate / analyser.fftSize;
    const levelAt = (hertz: number) => {
      const bin = Math.round(hertz / width);
      return Math.max(...levels.slice(bin - 1, bin + 2));
    };
    const frequency = 440 * 2 ** ((midi - 69) / 12);
    return {
      at: levelAt(frequency),
      beside: Math.max(...[-1, 1].map((side) => levelAt(frequency * 2 ** (side / 8)))),
      most: Math.max(...samples.map(Math.abs)),
    };
  }, note);
}

const marked = (page: Page) => page.locator('tr[aria-current]').getAttribute('data-row');

describe.skipIf(!hasChromium)('in Chromium', () => {
  let browser: Browser;
  let address = '';
  let blankAddress = '';
  const piece = pieceOf(music);
  const complaints: string[] = [];

  beforeAll(async () => {
    const executablePath = printingBrowser();
    if (executablePath === undefined) throw new Error('no browser');
    browser = await chromium.launch({ executablePath, chromiumSandbox: false });
    address = await written('whole', [piece], {});
    const other = pieceOf('title: Second\nkey: C\n| Dm7 | G7 | C6 |');
    const wish = { blanks: ['notes', 'techniques'], paper: 'letter' } as const;
    blankAddress = await written('blank', [piece, other], wish);
  }, 60_000);
  afterAll(async () => {
    await browser?.close();
    rmSync(folder, { recursive: true, force: true });
  });

  async function opened(url = address, colorScheme: 'light' | 'dark' = 'light') {
    const context = await browser.newContext({ offline: true, colorScheme });
    await context.addInitScript(listen);
    const page = await context.newPage();
    page.on('console', (message) => complaints.push(message.text()));
    page.on('pageerror', ({ message }) => complaints.push(message));
    page.on('request', (request) => {
      if (request.url() !== url) complaints.push(`asked for ${request.url()}`);
    });
    await page.goto(url);
    return page;
  }

  test('a title with markup stays text, and nothing is asked for or complained of', async () => {
    const page = await opened();
    expect(await page.title()).toBe(title);
    expect(await page.locator('h1').textContent()).toBe(title);
    expect(await page.locator('img, b').count()).toBe(0);
    expect(await page.locator('button:disabled').count()).toBe(1);
    await page.context().close();
  });

  test('a chord sounds with every fundamental it has, softly, and is marked on table and staves', async () => {
    const page = await opened();
    await page.locator('tr[data-row="0 1 2"] button').click();
    await expect.poll(() => marked(page)).toBe('0 1 2');
    const notes = piece.below?.[0]?.chords[2]?.notes.map(({ note }) => note) ?? [];
    expect(notes.length).toBeGreaterThan(3);
    expect(await page.locator('figure .sounding').count()).toBe(notes.length);
    await page.waitForTimeout(900);
    for (const note of notes) {
      const { at, beside, most } = await heardAt(page, note);
      expect(at).toBeGreaterThan(-75);
      expect(at - beside).toBeGreaterThan(10);
      expect(most).toBeGreaterThan(0.001);
      expect(most).toBeLessThan(0.5);
    }
    // A semitone above the top nobody plays.
    const strange = await heardAt(page, (notes.at(-1) ?? 0) + 1);
    expect(strange.at).toBeLessThan((await heardAt(page, notes.at(-1) ?? 0)).at - 15);
    await page.keyboard.press('Escape');
    expect(await page.locator('[aria-current]').count()).toBe(0);
    expect(await page.locator('#said').textContent()).toBe('Stopped.');
    await page.context().close();
  });

  test('the keyboard alone plays a treatment in tempo, chord by chord, to its end', async () => {
    const page = await opened();
    const button = page.getByRole('button', { name: 'Play in tempo' }).first();
    await button.focus();
    await page.keyboard.press('Enter');
    const seen: (string | null)[] = [];
    await expect
      .poll(
        async () => {
          const row =
            (await page.locator('tr[aria-current]').count()) > 0 ? await marked(page) : '';
          if (row !== '' && seen.at(-1) !== row) seen.push(row);
          return await button.getAttribute('aria-pressed');
        },
        { timeout: 10_000, interval: 60 },
      )
      .toBe('false');
    expect(seen).toEqual(['0 0 0', '0 0 1', '0 0 2', '0 0 3']);
    await page.context().close();
  });

  test('a question marks nothing while it plays, and its answer is folded away', async () => {
    const page = await opened();
    await page.getByRole('button', { name: 'Play question 1' }).click();
    await page.waitForTimeout(250);
    expect(await page.locator('#said').textContent()).toBe('Playing: question 1');
    expect(await page.locator('[aria-current], .sounding').count()).toBe(0);
    const answer = page.locator('details p').first();
    expect(await answer.isVisible()).toBe(false);
    await page.locator('summary').first().click();
    expect(await answer.textContent()).toMatch(/^[123] (drop-2|fourths|hybrid)$/);
    await page.context().close();
  });

  test.each([
    ['light', 'the page'],
    ['dark', 'the page with blanks'],
  ] as const)('axe-core finds nothing amiss in %s: %s', async (scheme, _) => {
    const page = await opened(scheme === 'light' ? address : blankAddress, scheme);
    await page.addScriptTag({ content: axe });
    const violations = await page.evaluate(async () => {
      const { axe: judge } = window as unknown as {
        axe: { run: () => Promise<{ violations: { id: string; nodes: { html: string }[] }[] }> };
      };
      const found = (await judge.run()).violations;
      return found.map(({ id, nodes }) => `${id}: ${nodes[0]?.html}`);
    });
    expect(violations).toEqual([]);
    await page.context().close();
  });

  const pagesOf = (pdf: string) => pdf.match(/\/Type \/Page\b/g)?.length ?? 0;

  test.each([
    ['A4', 595, 842],
    ['Letter', 612, 792],
  ] as const)('prints on %s, without what can only be pressed', async (format, width, height) => {
    const page = await opened(address, 'dark');
    const pdf = (await page.pdf({ format })).toString('latin1');
    const [, , , right = '', top = ''] = /\/MediaBox \[(\S+) (\S+) (\S+) (\S+)\]/.exec(pdf) ?? [];
    expect(Math.abs(Number(right) - width)).toBeLessThan(2);
    expect(Math.abs(Number(top) - height)).toBeLessThan(2);
    expect(pagesOf(pdf)).toBeGreaterThan(2);
    expect(pagesOf(pdf)).toBeLessThan(7);
    await page.emulateMedia({ media: 'print' });
    expect(await page.locator('.controls:visible, .listening:visible').count()).toBe(0);
    const background = (each: Element) => getComputedStyle(each).backgroundColor;
    expect(await page.locator('body').evaluate(background)).toBe('rgb(255, 255, 255)');
    await page.context().close();
  });

  test('the solutions begin on a page of their own, of the paper that was asked for', async () => {
    const page = await opened(blankAddress);
    const printed = async (style: string) => {
      await page.addStyleTag({ content: style });
      return (await page.pdf({ preferCSSPageSize: true })).toString('latin1');
    };
    const whole = await printed('main { display: block }');
    expect(whole).toMatch(/\/MediaBox \[0 0 61[12][.\d]* 79[12]/);
    const exercise = pagesOf(await printed('.solutions { display: none }'));
    const others =
      'main > :not(.solutions) { display: none } .solutions { display: block !important }';
    expect(pagesOf(whole)).toBe(exercise + pagesOf(await printed(others)));
    await page.context().close();
  });

  test('the same page is printed without a window, on the paper that was asked for', async () => {
    const html = readFileSync(new URL(blankAddress), 'utf8');
    const printed = await printPage(printingBrowser() ?? '', html);
    if (!printed.ok) throw new Error(printed.problem);
    const pdf = Buffer.from(printed.value).toString('latin1');
    expect(pdf).toMatch(/^%PDF-/);
    expect(pdf).toMatch(/\/MediaBox \[0 0 61[12][.\d]* 79[12]/);
    const broken = await printPage(process.execPath, html);
    expect(broken.ok ? '' : broken.problem).toContain("write '--hand-out FILE.html', open it");
  });

  test('what is to be filled in stands in the solutions alone', async () => {
    const page = await opened(blankAddress);
    const before = page.locator('main > :not(.solutions)');
    expect((await before.allTextContents()).join()).not.toMatch(
      /C4|three-part|hybrid:|drop 2 over/,
    );
    const solutions = (await page.locator('.solutions').textContent()) ?? '';
    for (const word of ['three-part', 'drop 2 over', 'hybrid:', 'Second']) {
      expect(solutions).toContain(word);
    }
    expect(await page.locator('main > figure').count()).toBe(2);
    expect(await page.locator('.solutions figure').count()).toBe(2);
    await page.context().close();
  });

  test('nothing of all this was complained of', () => {
    expect(complaints).toEqual([]);
  });
});
