import { logGamma } from '../numbers/counts.ts'

/**
 * Whether those that fell silent have something in common. Of `all` devices `silent` are silent, of the `members`
 * of one group `inGroup`. If silence struck at random, the number in the group would be hypergeometric; the chance
 * of so many or more is Fisher's exact test, one-sided (R. A. Fisher, "The Design of Experiments", 1935).
 * @returns the chance, 0–1
 */
export function chanceTogether(all: number, silent: number, members: number, inGroup: number): number {
  let sum = 0
  const most = Math.min(silent, members)
  for (let k = Math.max(inGroup, silent + members - all, 0); k <= most; k++)
    sum += Math.exp(logChoose(members, k) + logChoose(all - members, silent - k) - logChoose(all, silent))
  return Math.min(1, sum)
}

function logChoose(n: number, k: number): number {
  return k < 0 || k > n ? Number.NEGATIVE_INFINITY : logGamma(n + 1) - logGamma(k + 1) - logGamma(n - k + 1)
}
