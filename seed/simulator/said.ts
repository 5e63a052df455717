import type { Instant } from '../../server/domain/time.ts'
import type { Crowd } from './crowd.ts'
import type { Fact } from './script.ts'

/** All counts of one instant; what is in the slot only where the slot was ever used. */
export function countFact(crowd: Crowd, at: Instant, usesSlot: boolean): Fact {
  const f = crowd.at(at)
  return {
    at,
    kind: 'CountsReported',
    body: {
      checkedIn: f.checkedIn,
      publicCount: { ...f.publicCount },
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
