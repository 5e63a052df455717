import type { Words } from '../words/catalogue.ts'
import type { Sums } from './sums.ts'

/** How both identities stand, in words and figures; null: a line of it is empty. */
export function identities(sums: Sums, words: Words): { ballots: string | null; voters: string | null } {
  return { ballots: ballotsWords(sums, words), voters: votersWords(sums, words) }
}

function ballotsWords(
  { used, found, differences: { ballots } }: Sums,
  { reconcile: W }: Words,
): string | null {
  if (ballots === null || used === null || found === null) return null
  if (ballots === 0) return W.ballotsHold(used)
  return ballots > 0 ? W.ballotsMissing(used, found, ballots) : W.ballotsOver(used, found, -ballots)
}

/** Voted is what stands against the roster, with provisional voters where the roster counts them. */
function votersWords({ checkedIn, differences: { voters } }: Sums, { reconcile: W }: Words): string | null {
  if (voters === null || checkedIn === null) return null
  if (voters === 0) return W.votersHold(checkedIn)
  const voted = checkedIn - voters
  return voters > 0 ? W.votersMissing(checkedIn, voted, voters) : W.votersOver(checkedIn, voted, -voters)
}
