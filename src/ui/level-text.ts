/** '-10 dB', '+3 dB'. @param level decibels. */
export function levelText(level: number): string {
  return `${level > 0 ? '+' : ''}${level} dB`;
}
