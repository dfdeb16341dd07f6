/**
 * One period of a tone as its partials: sines at whole multiples of the fundamental and nothing else,
 * so that what is heard between the voices is between the voices.
 */
export type Wave = {
  /** The same name, the same wave: contexts keep one of each. */
  readonly name: string;
  /** Amplitudes of the sines from the fundamental on; the wave they add up to peaks at 1. */
  readonly partials: readonly number[];
};

export type Spectrum = {
  readonly name: string;
  readonly first: number;
  readonly most: number;
  /** Decibels that a partial loses against the one an octave below. */
  readonly slope: number;
};

/** Hertz. Partials above would only hiss on a small loudspeaker, and far above they would fold back. */
const highestPartial = 7_000;
/** Enough for the peak of thirty partials to within a tenth of a decibel. */
const samplesOfPeriod = 1024;

const made = new Map<string, Wave>();

/** Undefined where not even the first partial has room, save that a fundamental always sounds. */
export function waveOf(spectrum: Spectrum, frequency: number): Wave | undefined {
  const room = Math.max(1, Math.floor(highestPartial / frequency));
  const last = Math.min(spectrum.most, room);
  if (last < spectrum.first) return undefined;
  const name = `${spectrum.name} ${last}`;
  const known = made.get(name);
  if (known !== undefined) return known;
  const plain = Array.from({ length: last }, (_, place) =>
    place + 1 < spectrum.first ? 0 : (place + 1) ** (-spectrum.slope / decibelsOfOctave),
  );
  const peak = peakOf(plain);
  const wave = { name, partials: plain.map((amplitude) => amplitude / peak) };
  made.set(name, wave);
  return wave;
}

/** 20 log10 2. */
const decibelsOfOctave = 6.0206;

function peakOf(partials: readonly number[]): number {
  let peak = 0;
  for (let sample = 0; sample < samplesOfPeriod; sample += 1) {
    const phase = (2 * Math.PI * sample) / samplesOfPeriod;
    const sum = partials.reduce(
      (total, amplitude, place) => total + amplitude * Math.sin((place + 1) * phase),
      0,
    );
    peak = Math.max(peak, Math.abs(sum));
  }
  return peak;
}
