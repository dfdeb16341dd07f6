/**
 * The chart syntax, in one table: what the parser reads and what the help shows. Plain text, one or
 * more bars a line, to be typed in any editor. The example has all of it; the tests read it.
 */
export const syntax: readonly (readonly [sign: string, meaning: string])[] = [
  ['Cm7  F#m7(b5)  C/E', 'a chord symbol; after a slash its bass'],
  ['D\\C', 'a polychord: D above C'],
  ['N.C.', 'no chord: silence'],
  ['r', 'a rest'],
  ['(D7)', 'a chord that may be left out; it is played'],
  ['<Cm7', 'pushed: an eighth note early, tied over its beat or bar line'],
  ['Cm7@G4', 'its top voice is G4: a melody to harmonise'],
  [
    'bass=third',
    'for the chord after it: root, third, fifth, seventh, written (in the symbol), line (as it leads), none',
  ],
  ['technique=drop-2', 'for the chord after it: another strategy'],
  ['voicing=2', 'for the chord after it: its second best voicing there; also the notes, C3,Bb3,D4'],
  ['preset=NAME', 'from the chord after it on: another preset; preset="My fourths"'],
  ['"softly"', 'a cue: words that stand over the chord after them'],
  ['/  .  -', 'one more beat of the chord before, over the bar line too'],
  ['{/ F7}', 'two, three or four signs that share one beat'],
  ['%  x', 'repeats the bar before'],
  ['%%', 'between two bar lines: two bars, the two before once more'],
  ['|  ||  |]', 'a bar line; a double and a final one'],
  ['|:  :|', 'the bars between are played twice; :| x3 three times'],
  ['[1.  [2.', 'endings, also 1. after a bar line; [1,2. for both times'],
  ['[A]  [Bridge]', 'a section begins'],
  ['Segno  Coda', 'at the beginning of a bar: where D.S. and To Coda lead'],
  ['To Coda  Fine', 'at the end of a bar: where the last time leaves or ends'],
  ['D.C.  D.S. al Coda', 'at the end of a bar: back to the beginning or the Segno'],
  ['title: TEXT', 'the name of the piece; also composer: and style:'],
  ['key: Eb', 'the key, such as Eb, F#m or "C minor"; also between lines'],
  ['metre: 3/4', 'beats in a bar / the note that is one; 4/4 when left out; also between lines'],
  ['pickup: 1', 'the first bar has so many beats, before bar 1'],
  ['tempo: 92', "beats of the metre a minute; also 'dotted quarter = 60'; 120 when left out"],
  ['# TEXT', 'a comment: a line, or after a line of music'],
];

/** What the table leaves to a sentence. */
export const syntaxNotes =
  'Chords without / share their bar evenly; where that leaves beats over, the first chords have one ' +
  'more. With /, each chord and each / is one beat and they fill the bar. On a line without bar ' +
  'lines each chord is a bar. Behind D.C. and D.S. repeats are not taken again.';

/** An invented tune with every sign of the table. */
export const syntaxExample = `# An invented tune.
title: The Ferryman's Ledger
composer: N. N.
style: slow bossa
key: Eb
pickup: 1
tempo: quarter = 92
| Bb7 |
[A] |: Segno Ebmaj7 | Cm7 / {/ F7} / | "softly" Fm7 (Bb7) |
[1. Gm7 C7 :| [2. Eb6 / r r To Coda ||
[Bridge] | Ab\\Bb | x | bass=third <Gm7 | Bb7sus4@Eb5 . . Bb7@D5 |  # hold back
| Cm9 | Cm9/Bb | %% |
key: Ebm
metre: 3/4
| Abm6 - - | N.C. | Fm7(b5)/Ab technique=drop-2 Bb7 Eb D.S. al Coda ||
| Coda preset=close-as-played Abm6 / Ebmaj9/Bb | voicing=2 Eb6/9 |]
`;
