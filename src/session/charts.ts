/** The charts of a folder: which there are, what is in each, and which one is on the stage. */
import { basename, dirname, isAbsolute, join, resolve, sep } from 'node:path';
import type { Chart } from '../chart/chart.ts';
import { writeChart } from '../chart/write.ts';
import { done, type Result, refused } from '../common/result.ts';
import { formatKey } from '../harmony/key/key.ts';
import { chartName, listCharts } from '../io/files/chart-files.ts';
import type { Settings } from '../io/files/settings.ts';
import { noTune } from '../live/tune/sentences.ts';
import { formatMetre } from '../midi/metre.ts';
import { adviseNearest } from '../presets/nearest.ts';
import type { AboutChart, ChartsShown } from '../ui/charts/charts-shown.ts';

import { type ChartOnStage, type SessionTune, stays } from './stage-tune.ts';

export type ChartSource = {
  /** The folder where the player's charts lie, unless the settings name another. */
  readonly folder: string;
  readonly read: (file: string) => Promise<Result<ChartOnStage>>;
  /** Calls back after each change of the file; returns how to stop. */
  readonly watch: (file: string, onChange: () => void) => () => void;
  /** Of a chart that changes on disk. */
  readonly say: (sentence: string) => void;
};

const ofTheTake = 'The take that is recorded goes on, and has what is played over each chart.';

/** A heading line of a chart's text, a comment or nothing. */
const noBars = /^(?:[a-z]+:.*|#.*|\s*)$/iu;

function aboutOf(chart: Chart): AboutChart {
  const { title, composer, style, key, metres, bars } = chart;
  const lines = writeChart(chart).split('\n');
  return {
    title,
    words: [composer === '' ? '' : `by ${composer}`, style].filter(Boolean).join(', '),
    facts: [
      ...(key === undefined ? [] : [formatKey(key)]),
      formatMetre(metres[0]),
      `${bars} ${bars === 1 ? 'bar' : 'bars'}`,
    ].join(', '),
    lines: lines.filter((line) => !noBars.test(line)),
  };
}

function nameOf({ chart }: ChartOnStage, file: string): string {
  return chart.title === '' ? chartName(basename(file)) : chart.title;
}

/** Of a session, what the charts need. */
type OpenedIn = {
  readonly memory: Settings;
  readonly tune: SessionTune;
  readonly tape: { readonly recordedSeconds: number | undefined };
  readonly openTune: (
    next: ChartOnStage | undefined,
    readAnew?: () => Promise<Result<ChartOnStage>>,
  ) => void;
  readonly refresh: () => void;
};

export class SessionCharts {
  readonly #session: OpenedIn;
  readonly #source: ChartSource;
  #files: readonly string[] = [];
  readonly #about = new Map<string, AboutChart | 'asked'>();
  /** The file on the stage. */
  #opened: string | undefined;
  /** Whole paths of those that were opened from other folders: they are listed as well. */
  readonly #elsewhere: string[] = [];
  #stopWatching: () => void = () => {};
  /** Of what was asked for, the last counts. */
  #asked = 0;

  constructor(session: OpenedIn, source: ChartSource) {
    this.#session = session;
    this.#source = source;
  }

  get folder(): string {
    return this.#session.memory.chartFolder ?? this.#source.folder;
  }

  get shown(): ChartsShown {
    const opened = this.#opened;
    const named =
      opened !== undefined && (this.#isHere(opened) ? basename(opened) : resolve(opened));
    return {
      folder: this.folder,
      files: [...this.#files, ...this.#elsewhere.filter((file) => !this.#isHere(file))],
      ...(named !== false && { opened: named }),
      aboutOf: (file) => this.#aboutOf(file),
    };
  }

  /** Reads anew which there are; a sentence where that cannot be, else ''. */
  look(): string {
    const listed = listCharts(this.folder);
    this.#about.clear();
    this.#files = listed.ok ? listed.value : [];
    this.#session.refresh();
    return listed.ok ? '' : listed.problem;
  }

  /** 'There are 3 charts in …: …', as an order tells it. */
  list(): Result<string> {
    const problem = this.look();
    if (problem !== '') return refused(problem);
    const names = this.#files.map(chartName);
    return done(
      names.length === 0
        ? `There is no chart in ${this.folder}.`
        : `In ${this.folder}: ${names.join(', ')}.`,
    );
  }

  /** By its name in the folder, with its ending or without, or by its path; a sentence. */
  async open(asked: string): Promise<Result<string>> {
    const file = this.#fileOf(asked);
    if (!file.ok) return refused(this.#isNot(file.problem));
    this.#asked += 1;
    const turn = this.#asked;
    const read = await this.#source.read(file.value);
    if (turn !== this.#asked) return done('');
    if (!read.ok) return refused(this.#isNot(read.problem));
    this.begin(file.value);
    this.#session.openTune(read.value, () => this.#source.read(file.value));
    const { bars } = read.value.chart;
    const opened = `'${nameOf(read.value, file.value)}' is on the stage: ${bars} ${bars === 1 ? 'bar' : 'bars'}.`;
    const isRecorded = this.#session.tape.recordedSeconds !== undefined;
    return done(isRecorded ? `${opened} ${ofTheTake}` : opened);
  }

  close(): Result<string> {
    if (this.#session.tune.tune === undefined) return refused(noTune);
    this.#asked += 1;
    this.#stopWatching();
    this.#opened = undefined;
    this.#session.openTune(undefined);
    return done('The chart is closed; what you play is read by itself.');
  }

  #isHere(file: string): boolean {
    return dirname(resolve(file)) === resolve(this.folder);
  }

  /** This file is on the stage, and is watched from now on. */
  begin(file: string): void {
    this.#stopWatching();
    this.#opened = file;
    const path = resolve(file);
    if (!this.#isHere(file) && !this.#elsewhere.includes(path)) this.#elsewhere.push(path);
    const { tune } = this.#session;
    this.#stopWatching = this.#source.watch(file, async () => {
      if (this.#opened === file) this.#source.say(await tune.changed());
    });
  }

  end(): void {
    this.#stopWatching();
  }

  #isNot(problem: string): string {
    return this.#session.tune.tune === undefined ? problem : stays(problem);
  }

  #fileOf(asked: string): Result<string> {
    const name = asked.replace(/^(["'])(.*)\1$/u, '$2');
    if (name === '') return { ok: false, problem: "'chart open' wants a chart after it." };
    this.look();
    const same = (each: string): boolean => each.toLowerCase() === name.toLowerCase();
    const found =
      this.#files.find((file) => file === name) ??
      this.#files.find((file) => same(file) || same(chartName(file)));
    if (found !== undefined) return { ok: true, value: join(this.folder, found) };
    if (/[\\/]/u.test(name) || isAbsolute(name)) return { ok: true, value: name };
    const advice = adviseNearest(name, this.#files.map(chartName));
    return { ok: false, problem: `There is no chart '${name}' in ${this.folder}${advice}.` };
  }

  #aboutOf(file: string): AboutChart | undefined {
    const known = this.#about.get(file);
    if (known !== undefined) return known === 'asked' ? undefined : known;
    this.#about.set(file, 'asked');
    // A chart of another folder is listed by its whole path.
    void this.#source.read(resolve(this.folder, file)).then((read) => {
      const problem = read.ok ? '' : read.problem.replace(`${this.folder}${sep}`, '');
      this.#about.set(file, read.ok ? aboutOf(read.value.chart) : { problem });
      this.#session.refresh();
    });
    return undefined;
  }
}
