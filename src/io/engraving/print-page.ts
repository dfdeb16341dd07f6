/**
 * A page of HTML as a PDF, by a browser that is installed: Chromium or one of its kin, which print
 * without a window. None is part of Handspan, and none is asked for anything but this page on the disk.
 */
import { spawn } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { delimiter, join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { errorText } from '../../common/error-text.ts';
import type { Result } from '../../common/result.ts';

/** By what they are called on a search path, and where they stand on macOS and Windows. */
const programs = ['chromium', 'chromium-browser', 'google-chrome', 'google-chrome-stable'];
const places = [
  '/Applications/Chromium.app/Contents/MacOS/Chromium',
  '/Applications/Google Chrome.app/Contents/MacOS/Google Chrome',
  'C:\\Program Files\\Google\\Chrome\\Application\\chrome.exe',
  'C:\\Program Files (x86)\\Microsoft\\Edge\\Application\\msedge.exe',
];

/** The browser to print with; undefined where none is found. `HANDSPAN_BROWSER` names one. */
export function printingBrowser(environment = process.env): string | undefined {
  const named = environment['HANDSPAN_BROWSER'];
  if (named !== undefined && named !== '') return existsSync(named) ? named : undefined;
  const folders = (environment['PATH'] ?? '').split(delimiter).filter((folder) => folder !== '');
  const onPath = folders.flatMap((folder) => programs.map((name) => join(folder, name)));
  return [...onPath, ...places].find((path) => existsSync(path));
}

/** A page of hundreds of lines takes seconds; beyond this the browser hangs. */
const longestMilliseconds = 120_000;

/** What it says and does besides is nobody's concern: no window, no profile, no network. */
function optionsFor(folder: string, page: string): readonly string[] {
  return [
    '--headless=new',
    '--disable-gpu',
    '--disable-extensions',
    '--disable-background-networking',
    '--no-first-run',
    '--no-pdf-header-footer',
    // Chromium's sandbox does not work for the system's administrator.
    ...(process.getuid?.() === 0 ? ['--no-sandbox'] : []),
    `--user-data-dir=${join(folder, 'profile')}`,
    `--print-to-pdf=${join(folder, 'page.pdf')}`,
    pathToFileURL(page).href,
  ];
}

function run(browser: string, options: readonly string[]): Promise<string> {
  return new Promise((resolve) => {
    const child = spawn(browser, [...options], { stdio: 'ignore', timeout: longestMilliseconds });
    child.on('error', (error) => resolve(errorText(error)));
    child.on('close', (code, signal) => {
      resolve(code === 0 ? '' : `it stopped (${signal ?? code})`);
    });
  });
}

/** @param html the whole page, which needs nothing from outside. @returns the bytes of the PDF. */
export async function printPage(browser: string, html: string): Promise<Result<Uint8Array>> {
  const folder = mkdtempSync(join(tmpdir(), 'handspan-print-'));
  try {
    const page = join(folder, 'page.html');
    writeFileSync(page, html);
    const trouble = await run(browser, optionsFor(folder, page));
    const printed = join(folder, 'page.pdf');
    if (trouble === '' && existsSync(printed)) return { ok: true, value: readFileSync(printed) };
    const why = trouble === '' ? 'it wrote no file' : trouble;
    const problem = `${browser} could not print the page: ${why}; write '--hand-out FILE.html', open it in a browser and print it to a PDF.`;
    return { ok: false, problem };
  } finally {
    rmSync(folder, { recursive: true, force: true, maxRetries: 5 });
  }
}
