import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  type CountsAtClose,
  closingDifferences,
  holdsAtClose,
} from '../../../server/domain/reconcile/close.ts'

const sheet = (counts: Partial<CountsAtClose>): CountsAtClose => ({
  delivered: 0,
  left: 0,
  tabulated: 0,
  inSlot: 0,
  spoiled: 0,
  provisional: 0,
  challenged: 0,
  checkedIn: 0,
  ...counts,
})

/** Four published reconciliation sheets of one North Carolina county: used, not scanned, scanner = check-ins. */
const PUBLISHED = [
  ['2023-11-07', 5_400, 4_256, 1_144, 6, 1_138],
  ['2016-11-08', 3_100, 2_131, 969, 35, 934],
  ['2015-11-03', 1_401, 963, 438, 7, 431],
  ['2014-05-06', 3_203, 2_685, 518, 6, 512],
] as const

describe('counts at closing', () => {
  it.each(PUBLISHED)('hold on the published sheet of %s', (_, delivered, left, used, notScanned, scanned) => {
    expect(delivered - left).toBe(used)
    const base = { delivered, left, tabulated: scanned, checkedIn: scanned }
    // What wasn't scanned is on the sheets as one figure: it holds as spoiled, provisional or challenged.
    for (const kind of ['spoiled', 'provisional', 'challenged'] as const)
      expect(closingDifferences(sheet({ ...base, [kind]: notScanned }))).toEqual({ ballots: 0, voters: 0 })
    // And in the emergency slot, where those voters are on the roster.
    const slot = sheet({ ...base, inSlot: notScanned, checkedIn: scanned + notScanned })
    expect(closingDifferences(slot)).toEqual({ ballots: 0, voters: 0 })
    expect(holdsAtClose(closingDifferences(sheet(base)), 0)).toBe(false)
  })

  const base = sheet({
    delivered: 1_200,
    left: 190,
    tabulated: 985,
    inSlot: 10,
    spoiled: 8,
    provisional: 7,
    checkedIn: 995,
  })

  it('hold whether or not the roster counts provisional voters', () => {
    expect(closingDifferences(base)).toEqual({ ballots: 0, voters: 0 })
    expect(closingDifferences({ ...base, checkedIn: 1_002 })).toEqual({ ballots: 0, voters: 0 })
    expect(closingDifferences({ ...base, checkedIn: 1_004 }).voters).toBe(2)
    expect(closingDifferences({ ...base, checkedIn: 998 }).voters).toBe(3)
  })

  it('differ by each ballot and each voter, with its sign', () => {
    expect(closingDifferences({ ...base, tabulated: 984 })).toEqual({ ballots: 1, voters: 1 })
    expect(closingDifferences({ ...base, left: 191 })).toEqual({ ballots: -1, voters: 0 })
    // Spoiled ballots stand in the first identity only.
    expect(closingDifferences({ ...base, spoiled: 7 })).toEqual({ ballots: 1, voters: 0 })
    expect(closingDifferences({ ...base, checkedIn: 994 })).toEqual({ ballots: 0, voters: -1 })
  })

  it('hold up to the tolerance and not beyond', () => {
    expect(holdsAtClose({ ballots: 2, voters: -2 }, 2)).toBe(true)
    expect(holdsAtClose({ ballots: 3, voters: 0 }, 2)).toBe(false)
    expect(holdsAtClose({ ballots: 0, voters: -3 }, 2)).toBe(false)
  })

  it('hold wherever they were made to add up, and nowhere a ballot is missing', () => {
    const n = fc.nat(5_000)
    fc.assert(
      fc.property(
        n,
        n,
        n,
        n,
        n,
        n,
        fc.boolean(),
        (left, tabulated, inSlot, spoiled, provisional, challenged, listed) => {
          const delivered = left + tabulated + inSlot + spoiled + provisional + challenged
          const checkedIn = tabulated + inSlot + (listed ? provisional : 0)
          const counts = { delivered, left, tabulated, inSlot, spoiled, provisional, challenged, checkedIn }
          expect(holdsAtClose(closingDifferences(counts), 0)).toBe(true)
          expect(holdsAtClose(closingDifferences({ ...counts, delivered: delivered + 1 }), 0)).toBe(false)
        },
      ),
      { seed: 31 },
    )
  })
})
