import { diatonicChord, type Wanted } from '../chords.ts';
import type { Heard } from '../hearing.ts';
import { ceiling, firstOf, jointFault, settled, voicingFault, without } from '../rules.ts';
import type { Block, Fault, Stage } from '../stage.ts';
import { milliseconds, topOf, type Way } from './way.ts';

const leftHand = 48;
/** A held chord may be silent no longer than this between its stabs. */
const longestGap = 60 * milliseconds;

/** The stab sounds: a voicing of its own, above the held one or in its place, or one of both together. */
function stabFault(
  stage: Stage,
  heard: Heard,
  struckAbove: Block & { readonly wanted: Wanted },
  held: Wanted,
): Fault {
  const before = heard.ringing(struckAbove.firstAt - 1);
  const at = settled(struckAbove);
  const ringing = heard.ringing(at);
  const struck = heard.strikes(struckAbove.firstAt, at).map((span) => span.note);
  if (struck.length === 0) return 'the stab strikes nothing';
  const own = [ringing, without(ringing, before), struck.toSorted((one, other) => one - other)];
  const ways = own.map((notes) => voicingFault(stage, notes, struckAbove.wanted, { bass: 'any' }));
  const joint = [...held.notes, ...struckAbove.wanted.notes];
  ways.push(jointFault(stage, ringing, joint, held.reference, { bass: 'any' }));
  return ways.includes(undefined) ? undefined : `at the stab ${ways[0]}`;
}

/** After the stab: the held chord's own voicing, or still the one of both. */
function heldFault(
  stage: Stage,
  heard: Heard,
  at: number,
  held: Wanted,
  stabbed: Wanted | undefined,
): Fault {
  const ringing = heard.ringing(at);
  const own = voicingFault(stage, ringing, held);
  if (own === undefined || stabbed === undefined) return own;
  const joint = [...held.notes, ...stabbed.notes];
  const both = jointFault(stage, ringing, joint, held.reference, { bass: 'any' });
  return both && `after the stab ${own}`;
}

function silenceFault(heard: Heard, from: number, to: number): Fault {
  const times = heard.changes(from, to);
  for (const [place, at] of times.entries()) {
    const next = times[place + 1] ?? to;
    if (heard.ringing(at).length === 0 && next - at > longestGap) {
      return `silent for ${Math.round((next - at) / 1000)} ms while the chord is held`;
    }
  }
  return undefined;
}

/**
 * A stab is a voicing of its own chord (above the held one or in its place) or of both chords
 * together; when it is over the held chord rings in its own voicing or that of both; and while the
 * held keys are down there is no silence longer than 60 ms.
 */
export const stab: Way = {
  id: 'stab',
  about: 'a right-hand triad stabbed above a held left-hand chord, on one keyboard or two',
  play(stage) {
    const { random, beat } = stage;
    const source = random.chance(0.5) ? 1 : 0;
    stage.warmUp(leftHand);
    for (let gesture = 0; gesture < 2; gesture += 1) {
      const held = stage.nextChord(leftHand);
      const stabs = 1 + random.below(3);
      const step = beat * random.between(0.75, 1);
      const length = step * (stabs + 1);
      const block = stage.block(held, stage.now, length);
      stage.expect('held chord', block.firstAt, settled(block), (heard) =>
        heldFault(stage, heard, settled(block), held, undefined),
      );
      for (let place = 1; place <= stabs; place += 1) {
        const at = stage.now + place * step;
        const above = Math.max(66, topOf(held.notes) + 6);
        const wanted = stage.want(diatonicChord(random, stage.tonality, 'triad', above));
        const stroke = stage.block(wanted, at, random.between(90, 260) * milliseconds, {
          source,
          louder: random.between(0, 12),
        });
        const after = stroke.lastUp() + longestGap;
        const next = Math.min(at + step, block.firstUp()) - 1;
        stage.expect('stab', stroke.firstAt, next, (heard) =>
          firstOf(
            () => stabFault(stage, heard, { ...stroke, wanted }, held),
            () => (after < next ? heldFault(stage, heard, after, held, wanted) : undefined),
            () => heldFault(stage, heard, next, held, wanted),
          ),
        );
      }
      const from = block.lastAt + ceiling;
      stage.expect('no silence', from, block.firstUp(), (heard) =>
        silenceFault(heard, from, block.firstUp() - 1),
      );
      stage.now += length + beat * random.between(0.5, 1);
    }
  },
};
