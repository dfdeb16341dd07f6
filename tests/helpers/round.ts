/** Which round of tests this is: `npm test` runs the short one, `npm test -- --all` the long one. */
export const isShortRound = process.env['HANDSPAN_TESTS'] === 'short';

/** How many cases of a property: all in the long round, a quarter of them in the short one. */
export const casesOf = (all: number): number => (isShortRound ? Math.ceil(all / 4) : all);

/** All of them in the long round, every `step`th in the short one. */
export function sampled<T>(all: readonly T[], step: number): readonly T[] {
  return isShortRound ? all.filter((_, index) => index % step === 0) : all;
}
