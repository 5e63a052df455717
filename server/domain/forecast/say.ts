/** Below this chance nothing is said of a matter that could be. */
export const WORTH_SAYING = 0.05

/** A chance (0–1) as people say it: of a hundred such days. */
export function chanceWords(chance: number): string {
  if (chance < 0.005) return 'under 1 in 100'
  if (chance > 0.995) return 'over 99 in 100'
  return `${Math.round(chance * 100)} in 100`
}
