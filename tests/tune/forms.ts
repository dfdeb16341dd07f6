/** Twenty invented tunes, as charts: song forms, blues, rondos, vamps, jumps, several metres. */
import { parseChart } from '../../src/chart/parse.ts';
import { tuneOf } from '../../src/chart/tune-of-chart.ts';
import type { Tune } from '../../src/tune/tune.ts';

export const forms: readonly string[] = [
  'title: Salt on the Ledge\nkey: F\n[A] |: Fmaj7 | Gm7 C7 | Am7 D7 | Gm7 C7 |1. Fmaj7 | Bb7 | Am7 D7 | Gm7 C7 :|2. Fmaj7 | Bb7 | F6 | F6 ||\n[Bridge] | Cm7 | F7 | Bbmaj7 | Bbmaj7 | Dm7 | G7 | Gm7 | C7 ||\n[C] | Fmaj7 | Gm7 C7 | Am7 D7 | Gm7 C7 | Fmaj7 | Bb7 | F6 | C7 |]',
  'title: Twelve Lanterns\nkey: Bb\n[A] | Bb7 | Eb7 | Bb7 | Fm7 Bb7 | Eb7 | Edim7 | Bb7 | G7 | Cm7 | F7 | Bb7 G7 | Cm7 F7 |]',
  'title: Low Tide Waltz\nkey: G\nmetre: 3/4\n[A] | Gmaj7 | Em7 | Am7 | D7 | Bm7 | E7 | Am7 | D7 ||\n[B] | Cmaj7 | Cm6 | Bm7 | E7 | Am7 | D7 | G6 | D7 |]',
  'title: The Glass Orchard\nkey: Dm\n[A] | Dm7 | Em7(b5) A7 | Dm7 | Am7(b5) D7 | Gm7 | C7 | Fmaj7 | Em7(b5) A7 ||\n[Bridge] | Gm7 | Gm7 C7 | Fmaj7 | Bbmaj7 | Em7(b5) | A7 | Dm7 | A7 |]',
  'title: Ferry to Nowhere\nkey: Eb\n[A] |: Ebmaj7 | Abmaj7 | Gm7 | C7 | Fm7 | Bb7 | Ebmaj7 | Bb7 :|\n[B] | Abm7 | Db7 | Gbmaj7 | Gbmaj7 | Fm7 | Bb7 | Ebmaj7 | Bb7 |]',
  'title: Paper Weather\nkey: C\n[A] | C | Am | F | G | C | Am | F | G ||\n[Bridge] | Em | Am | Dm | G | Em | Am | D7 | G7 ||\n[C] | C | E7 | F | Fm | C | G7 | C | C |]',
  'title: Copper Staircase\nkey: Ab\n[A] | Abmaj7 | Fm7 | Bbm7 | Eb7 | Cm7 | F7 | Bbm7 | Eb7 ||\n[B] | Dm7 | G7 | Cmaj7 | A7 | Dm7 | G7 | Cmaj7 | Eb7 ||\n[C] | Abmaj7 | Db7 | Cm7 | F7 | Bbm7 | Eb7 | Ab6 | Eb7 |]',
  'title: Nine Postcards\nkey: A\n[A] | Amaj7 F#m7 | Bm7 E7 | C#m7 F#7 | Bm7 E7 | A7 | Dmaj7 Dm6 | C#m7 F#7 | Bm7 E7 ||\n[Bridge] | F#m7 | B7 | Emaj7 | C#7 | F#m7 | B7 | Bm7 | E7 |]',
  'title: Slow Machinery\nkey: Em\n[A] | Em7 | A7 | Em7 | A7 | Cmaj7 | B7 | Em7 | B7 ||\n[B] | Am7 | D7 | Gmaj7 | Cmaj7 | F#m7(b5) | B7 | Em7 | Em7 |]',
  'title: Harbour Lights Off\nkey: Db\n[A] | Dbmaj7 | Bbm7 | Ebm7 | Ab7 | Fm7 | Bb7 | Ebm7 | Ab7 ||\n[B] | Gbmaj7 | Gbm6 | Fm7 | Bb7 | Ebm7 | Ab7 | Db6 | Ab7 |]',
  'title: A Coat for the Moon\nkey: G\n[A] | Segno G | D/F# | Em7 | C | G | D | C To Coda | D7 ||\n[B] | Em7 | Bm7 | C | G | Am7 | Bm7 | C | D7 D.S. al Coda ||\n| Coda C | Cm6 | G |]',
  'title: The Long Corridor\nkey: Cm\n[A] | Cm7 | Fm7 | Bb7 | Ebmaj7 | Abmaj7 | Dm7(b5) | G7 | Cm6 ||\n[B] | Ebmaj7 | Bb7 | Abmaj7 | Gm7 | Fm7 | Dm7(b5) | G7 | G7 |]',
  'title: Sixpence Rag\nkey: C\n[A] |: C6 | A7 | D7 | G7 | C6 | A7 | D7 G7 | C6 :|\n[B] |: E7 | E7 | A7 | A7 | D7 | D7 | G7 | G7 :|\n[C] | C6 | C7 | F6 | Fm6 | C6 A7 | D7 G7 | C6 | C6 |]',
  'title: Under the Bell\nkey: D\nmetre: 6/8\n[A] | Dmaj7 | Bm7 | Em7 | A7 | F#m7 | Bm7 | Em7 | A7 ||\n[B] | Gmaj7 | Gm6 | F#m7 | B7 | Em7 | A7 | D6 | A7 |]',
  'title: Chalk and Thunder\nkey: Fm\n[A] | Fm7 | Bbm7 | Eb7 | Abmaj7 | Dbmaj7 | Gm7(b5) | C7 | Fm6 ||\n[Bridge] | Am7 | D7 | Gmaj7 | Gmaj7 | Gm7 | C7 | Fm7 | C7 ||\n[C] | Fm7 | Bbm7 | Eb7 | Abmaj7 | Dbmaj7 | C7 | Fm6 | C7 |]',
  'title: Errand Boy\nkey: Bb\n[Intro] | Cm7 F7 | Dm7 G7 | Cm7 F7 | Bb6 ||\n[A] | Bbmaj7 G7 | Cm7 F7 | Dm7 G7 | Cm7 F7 | Fm7 Bb7 | Ebmaj7 Ab7 | Dm7 G7 | Cm7 F7 ||\n[B] | D7 | D7 | G7 | G7 | C7 | C7 | F7 | F7 |]',
  'title: Sundial\nkey: E\n[Verse] | E | A | C#m | B | E | A | F#m | B ||\n[Chorus] | A | B | G#m | C#m | A | B | E | E7 ||\n[Middle] | C | G | D | A | C | G | B | B7 |]',
  'title: Winter Ledger\nkey: Gm\n[A] | Gm | F | Eb | D7 | Gm | F | Eb D7 | Gm ||\n[B] | Bb | F | Gm | D | Bb | F | Gm D7 | Gm |]',
  'title: Kite in a Drawer\nkey: F\nmetre: 5/4\n[A] | Fmaj7 . . Gm7 . | C7 . . Am7 . | Dm7 . . G7 . | Gm7 . . C7 . ||\n[B] | Bbmaj7 . . Bbm6 . | Am7 . . D7 . | Gm7 . . C7 . | F6 . . C7 . |]',
  'title: Open Windows\nkey: Ab\n[A] | Db/Ab Ab | Eb/G Fm7 | Bbm7 Eb7sus4 | Eb7 Ab | Cm7 F7(b9) | Bbm7 Gb7 | Abmaj7/C Bdim7 | Bbm7 Eb7 ||\n[B] | C7alt | Fm9 | Bb13 | Eb9sus4 | Am7 D7 | Gmaj7 | Bbm7 | Eb7 |]',
];

export function tuneFrom(text: string): Tune {
  const parsed = parseChart(text);
  if (!parsed.ok) throw new Error(`${parsed.problems[0]?.message} in\n${text}`);
  return tuneOf(parsed.value);
}
