import type { Tier } from '../plan/policy.ts'

/** Gravest first. */
const RANK: Readonly<Record<Tier, number>> = { stop: 0, now: 1, soon: 2, watch: 3 }

/** < 0 where `a` is graver than `b`. */
export function compareTiers(a: Tier, b: Tier): number {
  return RANK[a] - RANK[b]
}

export function higherTier(a: Tier, than: Tier): boolean {
  return RANK[a] < RANK[than]
}
