import type { Instant } from '../../server/domain/time.ts'
import type { Crowd } from './crowd.ts'
import type { Fact, Playing } from './script.ts'

/** A tabulator counts sheets. */
export function inSheets(publicCount: Readonly<Record<string, number>>, { planned }: Playing) {
  const sheets = planned.precinct.sheets ?? 1
  return Object.fromEntries(Object.entries(publicCount).map(([tag, ballots]) => [tag, ballots * sheets]))
}

/** All counts of one instant; what is in the slot only where the slot was ever used, and there is one. */
export function countFact(p: Playing, crowd: Crowd, at: Instant): Fact {
  const f = crowd.at(at)
  const { tabulators } = p.planned
  const usesSlot = tabulators.length > 0 && p.outages.some(o => o.from <= at)
  return {
    at,
    kind: 'CountsReported',
    body: {
      checkedIn: f.checkedIn,
      ...(tabulators.length > 0 ? { publicCount: inSheets(f.publicCount, p) } : {}),
      inLine: f.inLine,
      ...(usesSlot ? { inSlot: f.inSlot } : {}),
      spoiled: f.spoiled,
      provisional: f.provisional,
      curbside: f.curbside,
      ballotsLeft: f.ballotsLeft,
    },
  }
}

/** The last two digits read the wrong way round; where they are the same, one is read twice. */
export function sealMisread(number: string): string {
  const wrong = `${number.slice(0, -2)}${number.at(-1)}${number.at(-2)}`
  return wrong === number ? `${number}0` : wrong
}
