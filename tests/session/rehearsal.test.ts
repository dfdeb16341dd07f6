/** Rehearsal: chords by keys of the computer, and the built-in performances. */
import { Chord, Note, Key as TonalKey } from 'tonal';
import { describe, expect, test, vi } from 'vitest';
import { chordOnDegree, chordTypes } from '../../src/session/rehearsal/degree-chords.ts';
import { writtenChord } from '../../src/session/rehearsal/written-chord.ts';
import { begin, keyOf, withSessionFolder } from './rig.ts';

withSessionFolder();

describe('rehearsal', () => {
  // tonal's key tables are the outside reference: triads and sevenths of the major scale.
  test.each(['C', 'Eb', 'F#', 'A'])('degrees of %s major are the chords of the key', (tonic) => {
    const key = keyOf(tonic);
    const reference = TonalKey.majorKey(tonic);
    const sets = (notes: readonly number[]) => [...new Set(notes.map((note) => note % 12))].sort();
    const chromas = (symbol: string) =>
      Chord.get(symbol)
        .notes.map((name) => Note.chroma(name))
        .sort();
    [1, 2, 3, 4, 5, 6, 7].forEach((degree) => {
      const triad = reference.triads[degree - 1] ?? '';
      const seventh = reference.chords[degree - 1] ?? '';
      expect(sets(chordOnDegree(key, degree, 0, 0)), triad).toEqual(chromas(triad));
      expect(sets(chordOnDegree(key, degree, 1, 0)), seventh).toEqual(chromas(seventh));
    });
  });

  test('an altered dominant that is typed is a grip with one altered ninth and one altered fifth', () => {
    expect(writtenChord('G7alt')).toMatchObject({ ok: true, notes: [67, 70, 71, 75, 77] });
    expect(writtenChord('G7(b9,b13)')).toMatchObject({ ok: true, notes: [67, 68, 71, 75, 77] });
  });

  test('every type keeps the root of its degree, and inversions turn it from the bottom', () => {
    const key = keyOf('Bb');
    chordTypes.forEach((type, place) => {
      const plain = chordOnDegree(key, 4, place, 0);
      expect((plain[0] ?? 0) % 12, type.name).toBe(3);
      const [lowest = 0, ...rest] = plain;
      expect(chordOnDegree(key, 4, place, 1)).toEqual([...rest, lowest + 12]);
      expect(chordOnDegree(key, 4, place, 3)).toHaveLength(plain.length);
    });
  });

  test('another type or inversion only chooses; a chord has as many inversions as notes', () => {
    const { act, model, played } = begin();
    const chosen = () => [model().rehearsal?.chordType, model().rehearsal?.inversion];
    act({ type: 'playDegree', degree: 1 });
    for (const inversion of ['1st inversion', '2nd inversion', 'root position']) {
      act({ type: 'stepInversion', step: 1 });
      expect(chosen()).toEqual(['triads', inversion]);
    }
    act({ type: 'stepChordType', step: 1 });
    act({ type: 'stepInversion', step: -1 });
    expect(chosen()).toEqual(['sevenths', '3rd inversion']);
    act({ type: 'stepChordType', step: -1 });
    expect(chosen()).toEqual(['triads', '2nd inversion']);
    act({ type: 'stepChordType', step: -1 });
    expect(chosen()).toEqual(['suspended fourth', '2nd inversion']);
    expect(model().message).toBe('From the next chord on: suspended fourth, 2nd inversion.');
    expect(played).toHaveLength(3);
  });

  test('the number keys stay where they are while the key is followed, until asked again', () => {
    const { act, model, played, show, session } = begin();
    const root = () => {
      act({ type: 'playDegree', degree: 1 });
      act({ type: 'letGo' });
      return (played.at(-6)?.[1] ?? 0) % 12;
    };
    session.setKey(keyOf('Eb'));
    act({ type: 'followKey' });
    show({ key: 'Bb major', isKeyFollowed: true });
    expect(model().message).toBe(
      'Keys 1 to 7 stay in Eb major; following again (k) takes them to the key heard by then.',
    );
    expect([model().rehearsal?.key, root()]).toEqual(['Eb major', 3]);
    act({ type: 'followKey' });
    expect([model().rehearsal?.key, root()]).toEqual(['Bb major', 10]);
    act({ type: 'transposeKey', semitones: 1 });
    expect([model().rehearsal?.key, root()]).toEqual(['B major', 11]);
  });

  test('the built-in performance plays in the major key that is set, else in its own', () => {
    const { act, played, session } = begin();
    vi.useFakeTimers();
    const lowest = () => {
      const before = played.length;
      act({ type: 'toggleDemo' });
      vi.advanceTimersByTime(100);
      const [, note = 0] = played[before] ?? [];
      const key = session.setup.key;
      act({ type: 'toggleDemo' });
      return { note, key, after: session.setup.key };
    };
    const own = lowest();
    expect(own).toEqual({ note: own.note, key: 'Db major', after: undefined });
    session.setKey(keyOf('Ab'));
    expect(lowest()).toEqual({ note: own.note - 5, key: 'Ab major', after: 'Ab major' });
    session.setKey(keyOf('A minor'));
    expect(lowest()).toEqual({ note: own.note, key: 'Db major', after: 'A minor' });
  });

  test('the tune for two hands has a melody, a bass and a pedal, and takes the place of the other', () => {
    const { act, played, session } = begin();
    vi.useFakeTimers();
    act({ type: 'toggleDemo' });
    vi.advanceTimersByTime(100);
    expect(session.setup.key).toBe('Db major');
    act({ type: 'toggleDemo', tune: 'two hands' });
    expect([session.setup.key, session.rehearsal.isDemoPlaying('chords')]).toEqual([
      'Eb major',
      false,
    ]);
    const from = played.length;
    vi.advanceTimersByTime(60_000);
    expect([session.setup.key, session.rehearsal.isDemoPlaying()]).toEqual([undefined, false]);
    const sent = played.slice(from);
    const down = new Set<number>();
    let pedal = 0;
    for (const [status = 0, first = 0, value = 0] of sent) {
      if (status === 0x90) down.add(first);
      if (status === 0x80) down.delete(first);
      if (status === 0xb0) pedal = value;
    }
    expect([down.size, pedal]).toEqual([0, 0]);
    const struck = sent.flatMap(([status, note = 0]) => (status === 0x90 ? [note] : []));
    expect([Math.min(...struck) < 40, Math.max(...struck) > 79]).toEqual([true, true]);
    // Half-way through, its own key ends it.
    act({ type: 'toggleDemo', tune: 'two hands' });
    vi.advanceTimersByTime(5000);
    act({ type: 'toggleDemo', tune: 'two hands' });
    expect([session.setup.key, session.rehearsal.isDemoPlaying()]).toEqual([undefined, false]);
  });

  // A thread that is busy hears of each message when it comes to it: keys apart are no chord.
  test('a chord is struck and let go in one message', () => {
    const { session, strokes } = begin();
    const sizes = () => strokes.splice(0).map((bytes) => bytes.length / 3);
    session.rehearsal.playDegree(1);
    session.rehearsal.playDegree(2);
    session.rehearsal.letGo();
    session.rehearsal.strike([60, 64, 67, 71]);
    session.rehearsal.lift([60, 64, 67, 71]);
    expect(sizes()).toEqual([3, 3, 3, 3, 4, 4]);
  });

  test('a key held on a terminal without key-up strikes once; another degree ends the one before', () => {
    const { session, played } = begin();
    session.rehearsal.playDegree(1, 0);
    session.rehearsal.playDegree(1, 30);
    session.rehearsal.playDegree(1, 60);
    expect(played.map(([status]) => status)).toEqual([0x90, 0x90, 0x90]);
    session.rehearsal.playDegree(2, 90);
    expect(played.slice(3).map(([status]) => status)).toEqual([0x80, 0x80, 0x80, 0x90, 0x90, 0x90]);
    session.rehearsal.releaseDegree(1);
    expect(played).toHaveLength(9);
    session.rehearsal.releaseDegree(2);
    expect(played.slice(9).map(([status]) => status)).toEqual([0x80, 0x80, 0x80]);
  });
});
