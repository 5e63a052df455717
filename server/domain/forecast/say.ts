/** Below this chance nothing is said of a matter that could be. */
export const WORTH_SAYING = 0.05

/** A chance (0–1) as people say it: of a hundred such days. Nothing that is forecast is certain. */
export function chanceWords(chance: number): string {
  const whole = Math.round(chance * 100)
  if (whole < 1) return 'under 1 in 100'
  if (whole > 99) return 'over 99 in 100'
  return `${whole} in 100`
}

/**
 * A small chance (0–1) as people say it: "about 1 in 20,000", the number rounded down to one digit, so that it is never
 * said to be rarer than it is; from one in a hundred on as chanceWords.
 * @param rarest what is rarer than one in so many is only said to be that
 */
export function rareWords(chance: number, rarest: number): string {
  if (chance >= 0.01) return chanceWords(chance)
  if (chance * rarest <= 1) return `under 1 in ${rarest.toLocaleString('en-US')}`
  const oneIn = 1 / chance
  const digit = 10 ** Math.floor(Math.log10(oneIn))
  return `about 1 in ${(Math.floor(oneIn / digit) * digit).toLocaleString('en-US')}`
}
