/**
 * The sound of a hand-out: a function that runs in the reader's browser and nowhere else. Its text is
 * put into the page, so that it imports nothing. Web Audio 1.1 (W3C).
 */

type Param = {
  setValueAtTime: (value: number, at: number) => void;
  linearRampToValueAtTime: (value: number, at: number) => void;
  setTargetAtTime: (value: number, at: number, within: number) => void;
  cancelScheduledValues: (at: number) => void;
};
type AudioPart = { connect: (to: AudioPart) => void };
type Gain = AudioPart & { readonly gain: Param };
type Oscillator = AudioPart & {
  readonly frequency: Param;
  setPeriodicWave: (wave: unknown) => void;
  start: (at: number) => void;
  stop: (at: number) => void;
  onended: (() => void) | null;
};

/** What of the browser's audio context is used. */
export type AudioMachine = {
  readonly currentTime: number;
  readonly destination: AudioPart;
  resume: () => unknown;
  createGain: () => Gain;
  createOscillator: () => Oscillator;
  createPeriodicWave: (real: Float32Array, imaginary: Float32Array) => unknown;
};

export type PlayerSound = {
  /** Seconds, of the clock that chords are struck by. */
  readonly now: () => number;
  /** @param amplitude 0 to 1, of the whole. */
  readonly setLevel: (amplitude: number) => void;
  /** From here on chords belong to a new playing. */
  readonly begin: () => void;
  /** MIDI note numbers from `at` for `length` seconds; `ended` when they have died away. */
  readonly strike: (
    notes: readonly number[],
    at: number,
    length: number,
    ended: () => void,
  ) => void;
  /** Ends what sounds, and what was struck ahead. */
  readonly silence: () => void;
};

export function handOutSound(machine: AudioMachine, amplitude: number): PlayerSound {
  const level = machine.createGain();
  level.gain.setValueAtTime(amplitude, 0);
  level.connect(machine.destination);
  // Eight harmonics that fall off quickly: soft, and every fundamental plain.
  const harmonics = Float32Array.from({ length: 9 }, (_, n) => (n === 0 ? 0 : 1 / n ** 2.2));
  const wave = machine.createPeriodicWave(new Float32Array(9), harmonics);
  let output: Gain | null = null;
  return {
    now: () => machine.currentTime,
    setLevel: (wanted) => level.gain.setTargetAtTime(wanted, machine.currentTime, 0.02),
    begin: () => {
      machine.resume();
      output = machine.createGain();
      output.connect(level);
    },
    strike: (notes, at, length, ended) => {
      const to = output;
      if (to === null) return;
      // However many voices, their sum stays below full scale.
      const loudest = Math.min(0.12, 0.9 / Math.max(1, notes.length));
      notes.forEach((note, voice) => {
        const tone = machine.createOscillator();
        tone.setPeriodicWave(wave);
        tone.frequency.setValueAtTime(440 * 2 ** ((note - 69) / 12), at);
        const envelope = machine.createGain();
        envelope.gain.setValueAtTime(0, at);
        envelope.gain.linearRampToValueAtTime(loudest, at + 0.012);
        envelope.gain.setTargetAtTime(loudest * 0.35, at + 0.012, 1.4);
        envelope.gain.setTargetAtTime(0, at + Math.max(0.03, length - 0.05), 0.03);
        tone.connect(envelope);
        envelope.connect(to);
        if (voice === 0) tone.onended = ended;
        tone.start(at);
        tone.stop(at + length + 0.2);
      });
    },
    silence: () => {
      const now = machine.currentTime;
      output?.gain.cancelScheduledValues(now);
      output?.gain.setTargetAtTime(0, now, 0.02);
      output = null;
    },
  };
}
