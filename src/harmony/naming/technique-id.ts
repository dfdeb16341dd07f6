/**
 * The ways to build a voicing, by the ids that presets, charts and names share. What each is:
 * technique.ts says it of given notes, the strategies of src/voicing build it.
 */
export const techniqueIds = [
  'close',
  'open',
  'drop-2',
  'drop-3',
  'drop-2-4',
  'shell',
  'rootless',
  'spread',
  'fourths',
  'fourths-and-third',
  'fifths',
  'hybrid',
  'upper-structure',
  'polychord',
  'cluster',
  'block',
] as const;
export type TechniqueId = (typeof techniqueIds)[number];
