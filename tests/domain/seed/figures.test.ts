import { describe, expect, it } from 'vitest'
import { dayOf, index, SEEDS } from './playing.ts'

type Counts = Record<string, number> & { publicCount: Record<string, number> }
const sum = (counts: Record<string, number>) => Object.values(counts).reduce((a, b) => a + b, 0)

describe.each(SEEDS)('the figures of seed %i', seed => {
  const scripts = [...dayOf(seed).precincts]

  it('are never negative; checked in, public count, spoiled and provisional never fall', () => {
    for (const [code, { facts }] of scripts) {
      let before: Counts | null = null
      for (const { kind, body } of facts) {
        if (kind !== 'CountsReported') continue
        const now = body as Counts
        for (const value of [...Object.values(now.publicCount), ...Object.values({ ...now, publicCount: 0 })])
          expect(value).toBeGreaterThanOrEqual(0)
        if (before) {
          for (const name of ['checkedIn', 'spoiled', 'provisional', 'curbside'])
            expect([code, name, now[name]! >= before[name]!]).toEqual([code, name, true])
          for (const tag in now.publicCount)
            expect(now.publicCount[tag]).toBeGreaterThanOrEqual(before.publicCount[tag]!)
        }
        before = now
      }
    }
  })

  it('leave at every count only people who are still marking unexplained', () => {
    for (const [code, { facts }] of scripts)
      for (const { kind, body } of facts) {
        if (kind !== 'CountsReported') continue
        const now = body as Counts
        const handedOver = facts.find(f => f.kind === 'SlotBallotsFed' && f.body.fed === 0)
        if (handedOver && now.inSlot === 0 && now.checkedIn! > 0) continue
        const marking = now.checkedIn! - sum(now.publicCount) - (now.inSlot ?? 0) - now.provisional!
        expect([code, marking >= 0]).toEqual([code, true])
        // Nine minutes at the booth at most, by all stations together.
        expect(marking).toBeLessThan(60)
      }
  })

  it('add up at the close: ballots used, and voters checked in', () => {
    let closed = 0
    for (const [code, { facts }] of scripts) {
      const done = facts.find(f => f.kind === 'CountsReconciled')
      if (!done) continue
      closed++
      const b = done.body as Record<string, number>
      expect([code, b.delivered! - b.left!]).toEqual([
        code,
        b.tabulated! + b.inSlot! + b.provisional! + b.spoiled!,
      ])
      expect([code, b.checkedIn]).toEqual([code, b.tabulated! + b.inSlot! + b.provisional!])
      const tapes = facts.filter(f => f.kind === 'ClosingTapeSigned').map(f => Number(f.body.publicCount))
      expect(tapes.reduce((a, c) => a + c, 0)).toBe(b.tabulated)
    }
    expect(closed).toBe(63)
  })

  it('leave no ballot in a slot at the close: fed, or handed over with a note', () => {
    for (const [code, { facts }] of scripts) {
      const open = facts.filter(f => f.kind === 'EmergencySlotOpened')
      if (open.length === 0) continue
      const feeds = facts.filter(f => f.kind === 'SlotBallotsFed').map(f => f.body)
      const last = facts.filter(f => f.kind === 'CountsReported').at(-1)!
      const locked = facts.find(f => f.kind === 'EmergencySlotLocked')!
      expect(feeds).toHaveLength(1)
      if (feeds[0]!.fed === 0) {
        expect([code, feeds[0]!.note]).toEqual(['gull-point', expect.any(String)])
        expect(feeds[0]!.handedOver).toBeGreaterThan(100)
      } else expect(feeds[0]!.fed).toBe(locked.body.inSlot)
      expect(last.body.inSlot ?? 0).toBe(0)
    }
  })

  it('bring about the voters that were expected, and only where planned many more', () => {
    for (const [code, { facts }] of scripts) {
      if (code === 'saltmarsh-school') continue
      const came = Number(facts.filter(f => f.kind === 'CountsReported').at(-1)!.body.checkedIn)
      const ratio = came / index.precincts.get(code)!.precinct.expected
      if (code === 'north-light') expect(ratio).toBeGreaterThan(1.3)
      else expect([code, ratio > 0.78 && ratio < 1.22]).toEqual([code, true])
    }
  })
})
