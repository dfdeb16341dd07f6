/** The usual caution, wherever voicings are explained. */
export const cautions = [
  'Added voices raise the level: set monitoring low first.',
  'Wide stretches strain hands.',
] as const;
