/** What hands play most, likeliest first: triads, then sevenths. Common practice, no source. */

/** Semitones above the root. */
const triads = [
  [0, 4, 7],
  [0, 3, 7],
];
const sevenths = [
  [0, 4, 7, 10],
  [0, 3, 7, 10],
  [0, 4, 7, 11],
];
const lowestRoot = 55;

function onEveryRoot(shapes: readonly (readonly number[])[]): readonly (readonly number[])[] {
  const roots = Array.from({ length: 12 }, (_, up) => lowestRoot + up);
  return shapes.flatMap((shape) => roots.map((root) => shape.map((above) => root + above)));
}

/** As notes from G3 to F#4 upwards, in root position. */
export const likelyChords: readonly (readonly number[])[] = [
  ...onEveryRoot(triads),
  ...onEveryRoot(sevenths),
];

/** So many of them, from the first, are triads. */
export const likelyTriads = onEveryRoot(triads).length;
