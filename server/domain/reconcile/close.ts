/**
 * What a precinct says when it has closed and counted everything, in ballots and voters. Of the two identities
 * (balance.ts) nothing is under way any more: what differs is missing, or too many.
 */
export type CountsAtClose = {
  delivered: number
  left: number
  tabulated: number
  inSlot: number
  spoiled: number
  provisional: number
  challenged: number
  checkedIn: number
}

/** Differences at closing, left side less right: above 0 something is missing on the right. */
export type ClosingDifferences = { ballots: number; voters: number }

/**
 * Whether the roster counts provisional voters isn't in the plan: of the two readings the one that balances better
 * stands. Those who left without casting are on no count: they are a difference, to be explained.
 */
export function closingDifferences(c: CountsAtClose): ClosingDifferences {
  const counted = c.tabulated + c.inSlot
  const without = c.checkedIn - counted
  const withThem = without - c.provisional
  return {
    ballots: c.delivered - c.left - counted - c.provisional - c.spoiled - c.challenged,
    voters: Math.abs(withThem) < Math.abs(without) ? withThem : without,
  }
}

/** Whether both hold to policy's tolerance (countTolerance, ≥ 0): nothing needs to be explained. */
export function holdsAtClose({ ballots, voters }: ClosingDifferences, tolerance: number): boolean {
  return Math.abs(ballots) <= tolerance && Math.abs(voters) <= tolerance
}
