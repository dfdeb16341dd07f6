/**
 * The chart syntax, in one table: what the parser reads and what the help shows. Plain text, one or
 * more bars a line, to be typed in any editor.
 *
 *   title: Slow Lantern
 *   key: Eb
 *   metre: 4/4
 *   tempo: 92
 *   | Ebmaj7 | Cm7 / F7 / | % | Bb7sus4 Bb7 |
 */
export const syntax: readonly (readonly [sign: string, meaning: string])[] = [
  ['Cm7  F#m7(b5)  C/E', 'a chord symbol; behind a slash its bass'],
  ['D\\C', 'a polychord: D above C'],
  ['N.C.', 'no chord: silence'],
  ['|  ||', 'a bar line'],
  ['|:  :|', 'the bars between are played twice'],
  ['/', 'one more beat of the chord before'],
  ['%', 'repeats the bar before'],
  ['title: TEXT', 'the name of the piece'],
  ['key: Eb', 'the key, such as Eb, F#m or "C minor"'],
  ['metre: 3/4', 'beats in a bar / the note that is one; 4/4 when left out; also between lines'],
  ['pickup: 1', 'the first bar has so many beats, before bar 1'],
  ['tempo: 92', 'beats a minute; 120 when left out'],
  ['# TEXT', 'a line that is not read'],
];

/** What the table leaves to a sentence. */
export const syntaxNotes =
  'Chords without / share their bar evenly. With /, each chord and each / is one beat and they fill ' +
  'the bar. On a line without bar lines each chord is a bar.';
