/**
 * A straight line through the times of the last MIDI clocks, by least squares: its slope is the
 * period, and it says how far we are past the last clock with the jitter averaged out.
 * Times in microseconds; clocks are counted from any origin, lost ones included.
 *
 * Every length and limit below is our choice, tuned on simulated masters that jitter, lose clocks and
 * change tempo (tests/live/tempo.test.ts); there is no other source for them.
 */

/** Three quarter notes: steadier is not seen on a screen, longer would follow a ritardando late. */
const longest = 72;
/** A changed tempo shows in so many of the latest clocks. */
const latest = 8;
/** Half a quarter note: below this the slope wanders too much to say anything by. */
const enough = 12;
/** How many of them are asked whether the line still fits. */
const misfitClocks = 6;
/** Microseconds the latest clocks may lie off the line together, however small the jitter. */
const leastMisfit = 1_000;
/** The same in standard errors of their mean: by the jitter of the whole line, and by their own. */
const misfitErrors = { line: 4.5, own: 12 };
/** A gap of up to a quarter note is made good; a longer one is a pause. */
const mostLost = 24;
/** So many gaps in a row are a slower tempo and not losses. */
const gapsOfSlowerTempo = 6;

type Fit = { readonly period: number; readonly residuals: readonly number[]; readonly rms: number };

export type ClockLine = {
  /**
   * A clock came. Returns how many clocks it stands for: 1, more when some were lost before it, and
   * less than 1 when earlier gaps turn out to have been a slower tempo.
   */
  readonly add: (atMicroseconds: number) => number;
  /** Clocks and parts of one since the last; undefined while too few were heard to know. */
  readonly since: (atMicroseconds: number) => number | undefined;
  /** Microseconds from clock to clock; undefined while too few were heard to know. */
  readonly period: () => number | undefined;
  readonly clear: () => void;
};

export function createClockLine(): ClockLine {
  let clocks: number[] = [];
  let times: number[] = [];
  let fit: Fit | undefined;

  const isKnown = (): boolean => times.length >= enough;

  const keepLatest = (count: number): void => {
    clocks = clocks.slice(-count);
    times = times.slice(-count);
    fit = fitLine(clocks, times);
  };

  /** A gap is taken for losses only when both its own length and the line say so. */
  const step = (at: number): number => {
    const past = since(at);
    if (past === undefined || fit === undefined) return 1;
    const interval = (at - (times.at(-1) ?? at)) / fit.period;
    const passed = Math.min(Math.round(past), Math.round(interval));
    return passed > mostLost ? 1 : Math.max(1, passed);
  };

  const since = (at: number): number | undefined => {
    if (fit === undefined || fit.period <= 0 || !isKnown()) return undefined;
    const last = (times.at(-1) ?? 0) - (fit.residuals.at(-1) ?? 0);
    return (at - last) / fit.period;
  };

  /** The latest clocks without any losses fit a line much better, or all of them had gaps. */
  const isSlower = (): boolean => {
    const [recent, at] = [clocks.slice(-latest), times.slice(-latest)];
    const steps = recent.slice(1).map((clock, i) => clock - (recent[i] ?? 0));
    if (steps.every((each) => each === 1)) return false;
    if (steps.slice(-gapsOfSlowerTempo).every((each) => each > 1)) return true;
    return fitLine([...recent.keys()], at).rms < fitLine(recent, at).rms / 2;
  };

  const isOff = (): boolean => {
    if (fit === undefined || times.length <= latest) return false;
    const own = fitLine(clocks.slice(-latest), times.slice(-latest)).rms;
    const jitter = Math.min(misfitErrors.line * fit.rms, misfitErrors.own * own);
    const misfit = fit.residuals.slice(-misfitClocks).reduce((sum, each) => sum + each, 0);
    const mean = Math.abs(misfit) / misfitClocks;
    return mean > Math.max(leastMisfit, jitter / Math.sqrt(misfitClocks));
  };

  return {
    add(at) {
      const passed = step(at);
      const before = clocks.at(-1) ?? 0;
      clocks.push(before + passed);
      times.push(at);
      if (times.length > longest) keepLatest(longest);
      else fit = fitLine(clocks, times);
      if (times.length > latest && isSlower()) {
        const added = (clocks.at(-1) ?? 0) - (clocks.at(-latest) ?? 0) - (latest - 1);
        times = times.slice(-latest);
        clocks = [...times.keys()];
        fit = fitLine(clocks, times);
        return passed - added;
      }
      if (isOff()) keepLatest(latest);
      return passed;
    },
    since,
    period: () => (isKnown() ? fit?.period : undefined),
    clear() {
      clocks = [];
      times = [];
      fit = undefined;
    },
  };
}

/** At least one point; the residuals are microseconds after the line. */
function fitLine(clocks: readonly number[], times: readonly number[]): Fit {
  const count = times.length;
  const [clock0 = 0, time0 = 0] = [clocks[0], times[0]];
  const meanClock = clocks.reduce((sum, clock) => sum + (clock - clock0), 0) / count;
  const meanTime = times.reduce((sum, time) => sum + (time - time0), 0) / count;
  let [covariance, variance] = [0, 0];
  clocks.forEach((clock, i) => {
    const distance = clock - clock0 - meanClock;
    covariance += distance * ((times[i] ?? 0) - time0 - meanTime);
    variance += distance * distance;
  });
  const period = variance === 0 ? 0 : covariance / variance;
  const residuals = times.map(
    (time, i) => time - time0 - meanTime - period * ((clocks[i] ?? 0) - clock0 - meanClock),
  );
  const rms = Math.sqrt(residuals.reduce((sum, each) => sum + each * each, 0) / count);
  return { period, residuals, rms };
}
