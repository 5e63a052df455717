import { describe, expect, it } from 'vitest'
import { plantedTroubles, story, troubleLine } from '../../../seed/simulator/troubles.ts'
import { rowOf } from '../../../server/domain/day/rowOf.ts'
import { hhmmOf } from '../../../server/domain/plan/zone.ts'
import { MINUTE } from '../../../server/domain/time.ts'
import { judgedDay } from './judgedDay.ts'
import { ellery, index } from './playing.ts'

const SEED = 7
const { verdicts, lines, state } = judgedDay(SEED)
const planted = plantedTroubles(ellery)
const hhmm = (at: number | null) => (at === null ? 'stands' : hhmmOf(at, ellery.timeZone))

describe('the practice day, folded and judged', () => {
  it.each(planted.map(t => [troubleLine(t, ellery), t] as const))('shows %s within its delay', (_, t) => {
    const shown = verdicts.find(v => v.rule === t.rule && v.precinct === t.precinct)
    expect(shown).toBeDefined()
    const due = t.from + ellery.policy.rules[t.rule].delayMinutes * MINUTE
    // A late tablet is judged when it is first heard; everything else at its minute.
    expect(shown!.raisedAt).toBeLessThanOrEqual(due + MINUTE)
    if (t.until !== null)
      expect(shown!.endedAt).toBeLessThanOrEqual(
        t.until + (ellery.policy.rules[t.rule].holdMinutes + 1) * MINUTE,
      )
  })

  it('raises besides these only their consequences, and the long line foreseen', () => {
    const known = new Set(planted.map(t => `${t.rule} ${t.precinct}`))
    const outOfUse = [story.flapShut, story.tapeRejected, story.tabulatorDown, story.slotLeftOpen]
    const consequences = new Set([
      ...outOfUse.map(s => `slot-in-use ${s.precinct}`),
      `behind-on-opening ${story.tapeRejected.precinct}`,
      `line-growing ${story.longLine.precinct}`,
      `not-closed ${story.tabletDies.precinct}`,
      `return-overdue ${story.tabletDies.precinct}`,
      `line-growing ${story.longLine.precinct}`,
      'silent-together null',
    ])
    const others = verdicts.filter(v => {
      const what = `${v.rule} ${v.precinct}`
      return !known.has(what) && !consequences.has(what)
    })
    expect(others.map(v => `${v.key} ${hhmm(v.raisedAt)}`)).toEqual([])
  })

  it('foresees the long line at least a quarter of an hour before it is reported', () => {
    const at = (rule: string) =>
      verdicts.find(v => v.rule === rule && v.precinct === story.longLine.precinct)!.raisedAt
    expect(at('long-line') - at('line-growing')).toBeGreaterThanOrEqual(15 * MINUTE)
  })

  it('lets nothing chatter: no reason comes more than twice in ten minutes', () => {
    for (const { key, raisedAt } of verdicts) {
      const again = verdicts.filter(
        v => v.key === key && v.raisedAt >= raisedAt && v.raisedAt < raisedAt + 10 * MINUTE,
      )
      expect(again.length, key).toBeLessThanOrEqual(2)
    }
  })

  it('brings one operator new lines as alarm management allows', () => {
    // ISA-18.2 and EEMUA 191, by secondary tables: about one in ten minutes is right, two are manageable, more than
    // ten in ten minutes are a flood, and floods stay under 1 % of the time.
    const { reportAt, closesAt } = index.brief
    const windows: number[] = []
    for (let from = reportAt; from < closesAt; from += MINUTE)
      windows.push(lines.filter(l => l.at >= from && l.at < from + 10 * MINUTE).length)
    const mean = windows.reduce((a, b) => a + b, 0) / windows.length
    expect(mean).toBeLessThanOrEqual(1)
    expect(windows.filter(n => n > 10)).toEqual([])
    expect(lines.length).toBeGreaterThan(10)
  })

  it('foresees the long line before it is one', () => {
    const of = (rule: string) =>
      verdicts.find(v => v.rule === rule && v.precinct === story.longLine.precinct)!
    expect(of('long-line').raisedAt - of('line-growing').raisedAt).toBeGreaterThan(20 * MINUTE)
  })

  it('finds what the precincts that lost their network have in common: their area', () => {
    const gap = planted.filter(t => t.rule === 'silent' && t.until !== null)
    const areas = new Set(gap.map(t => index.precincts.get(t.precinct!)!.place.area))
    const together = verdicts.filter(v => v.rule === 'silent-together')
    expect(together.map(v => v.key)).toEqual([...areas].map(area => `silent-together:area:${area}`))
    expect(together[0]!.raisedAt).toBeLessThanOrEqual(gap[0]!.from + MINUTE)
    expect(together[0]!.endedAt).not.toBeNull()
  })

  it('ends with every return received but the lost one and that of the dead tablet', () => {
    const standings = new Map(
      [...state.precincts.values()].map(p => [p.code, rowOf(p, index).standing] as const),
    )
    expect(standings.get('ebb-island')).toBe('returning')
    expect(standings.get('saltmarsh-school')).toBe('open')
    expect([...standings.values()].filter(s => s === 'received')).toHaveLength(62)
  })

  it('ends with counts that the fold finds to add up everywhere', () => {
    for (const p of state.precincts.values())
      if (p.code !== 'saltmarsh-school') expect([p.code, p.reconciled?.is.ballots]).toEqual([p.code, 0])
  })
})
