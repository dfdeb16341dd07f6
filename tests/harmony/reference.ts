/**
 * Outside references lie beside the project, in ../shared/reference, and are not copied into it.
 * A test that needs one says so by name where it is absent.
 */
import { existsSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { test } from 'vitest';
import { relativeTo } from '../../src/harmony/pitch/pitch-class-set.ts';

const folder = new URL('../../../shared/reference/', import.meta.url);

function pathOf(name: string): string {
  return fileURLToPath(new URL(name, folder));
}

export function referenceText(name: string): string {
  return readFileSync(pathOf(name), 'utf8');
}

export type Row = { readonly [column: string]: string };

/** A table with a heading line, columns parted by tabs. */
export function referenceRows(name: string): Row[] {
  const [heading = '', ...lines] = referenceText(name).replace(/\n$/, '').split('\n');
  const columns = heading.split('\t');
  return lines.map((line) => {
    const cells = line.split('\t');
    return Object.fromEntries(columns.map((column, index) => [column, cells[index] ?? '']));
  });
}

/** A test that runs where the reference lies and is skipped, by name, where it does not. */
export function testWithReference(title: string, name: string, run: () => void): void {
  if (existsSync(pathOf(name))) test(title, run);
  else test.skip(`${title} [needs ../shared/reference/${name}, which is absent]`, run);
}

/**
 * Which sonorities were kept from the fit of the chorale reader: a hash of the tones above the bass, so
 * that every transposition of one goes the same way.
 */
export function isHeldOut(set: number, bass: number): boolean {
  return Math.floor((relativeTo(set, bass) * 2_654_435_761) / 2 ** 16) % 2 === 1;
}
