import { describe, expect, it } from 'vitest'
import { type Planted, plantedTroubles, story, troubleLine } from '../../../seed/simulator/troubles.ts'
import { stock } from '../../../server/domain/ballots/stock.ts'
import { hhmmOf } from '../../../server/domain/plan/zone.ts'
import { MINUTE } from '../../../server/domain/time.ts'
import { dayOf, ellery, factsOf, index, SEEDS } from './playing.ts'

const planted = plantedTroubles(ellery)
const hhmm = (at: number) => hhmmOf(at, ellery.timeZone)
const said = (seed: number, precinct: string) => factsOf(seed, precinct).map(f => `${hhmm(f.at)} ${f.kind}`)

it('every planted trouble has a precinct of the plan and a rule of the policy that is on', () => {
  expect(new Set(planted.map(t => t.name))).toEqual(new Set(Object.keys(story)))
  for (const t of planted) {
    expect(index.precincts.has(t.precinct)).toBe(true)
    expect(ellery.policy.rules[t.rule].enabled).toBe(true)
    if (t.until !== null)
      expect(t.until - t.from).toBeGreaterThan(ellery.policy.rules[t.rule].delayMinutes * MINUTE)
  }
})

it('a plan without these precincts is played without them', () => {
  const other = { ...ellery, precincts: ellery.precincts.filter(p => p.code === 'fog-bell') }
  expect(plantedTroubles(other)).toEqual([])
})

describe.each(SEEDS)('planted troubles of seed %i are really in the script', seed => {
  const shows: Record<string, (t: Planted) => boolean> = {
    'not-heard': t => dayOf(seed).precincts.get(t.precinct)!.heartbeats.from > t.from,
    'team-short': t =>
      factsOf(seed, t.precinct).some(
        f => f.kind === 'TeamReported' && f.at <= t.from + MINUTE && (f.body.missing as unknown[]).length > 0,
      ),
    'behind-on-opening': t => {
      const ready = factsOf(seed, t.precinct).filter(f => f.kind === 'StepCompleted')[0]!
      return ready.at > index.brief.reportAt + 45 * MINUTE
    },
    'not-open': t => factsOf(seed, t.precinct).find(f => f.kind === 'PollsOpened')!.at > t.from + 3 * MINUTE,
    'tape-rejected': t =>
      said(seed, t.precinct).includes('06:02 OpeningTapeRejected') &&
      !said(seed, t.precinct).some(s => s.endsWith('OpeningTapeVerified')),
    'seal-different': t =>
      factsOf(seed, t.precinct).some(
        f =>
          f.at === t.from &&
          f.body.found !== index.precincts.get(t.precinct)!.seals.get(String(f.body.container)),
      ),
    'tabulator-down': t => {
      const down = factsOf(seed, t.precinct).find(f => f.kind === 'EquipmentWentDown' && f.at === t.from)
      return (
        down !== undefined &&
        index.precincts.get(t.precinct)!.tabulators.includes(String(down.body.equipment))
      )
    },
    'accessible-down': t => {
      const down = factsOf(seed, t.precinct).find(f => f.kind === 'EquipmentWentDown' && f.at === t.from)
      return (
        index.precincts.get(t.precinct)!.equipment.get(String(down?.body.equipment))?.kind ===
        'accessible-station'
      )
    },
    silent: t => {
      const script = dayOf(seed).precincts.get(t.precinct)!
      return script.gaps.some(g => g.from === t.from - 300_000 && g.to === t.until)
    },
    'long-line': t => {
      const line = factsOf(seed, t.precinct)
        .filter(f => f.kind === 'LineReported' && f.at <= t.from)
        .at(-1)
      return (
        (Number(line?.body.inLine) * ellery.policy.checkInMinutes) / Number(line?.body.stationsWorking) > 30
      )
    },
    'ballots-low': t => {
      const last = factsOf(seed, t.precinct)
        .filter(f => f.kind === 'CountsReported' && f.at <= t.from)
        .at(-1)!
      const of = (is: unknown) => ({ is: Number(is), asOf: last.at })
      const { expected } = index.precincts.get(t.precinct)!.precinct
      const now = stock(index.brief, expected, of(last.body.ballotsLeft), of(last.body.checkedIn), t.from)
      return now.left < now.stillExpected * ellery.policy.ballotsMargin
    },
    'slot-forgotten': t => {
      const says = said(seed, t.precinct)
      return says.includes('08:40 EquipmentRestored') && says.includes('10:15 EmergencySlotLocked')
    },
    'help-asked': t =>
      factsOf(seed, t.precinct).some(f => f.at === t.from && /HelpRequested|SuppliesRequested/.test(f.kind)),
    'count-missing': t => {
      const counts = factsOf(seed, t.precinct).filter(f => f.kind === 'CountsReported')
      return (
        !counts.some(f => f.at > t.from - 75 * MINUTE && f.at < t.until!) &&
        counts.some(f => f.at === t.until)
      )
    },
    'not-closed': t => factsOf(seed, t.precinct).find(f => f.kind === 'PollsClosed')!.at === t.until,
    'return-overdue': t =>
      factsOf(seed, t.precinct).some(f => f.kind === 'ReturnDeparted') &&
      !factsOf(seed, t.precinct).some(f => f.kind === 'ReturnReceived'),
  }

  it.each(planted.map(t => [troubleLine(t, ellery), t] as const))('%s', (_, t) => {
    const found = shows[t.rule]
    expect(found, `no check for ${t.rule}`).toBeDefined()
    expect(found!(t)).toBe(true)
  })

  it('and lines, stocks and counts elsewhere are as they should be', () => {
    for (const [code, { facts }] of dayOf(seed).precincts) {
      const { stations, expected } = index.precincts.get(code)!.precinct
      let last = index.brief.opensAt
      for (const f of facts) {
        if (f.kind !== 'CountsReported') continue
        if (code !== 'harbor-hall')
          expect((Number(f.body.inLine) * ellery.policy.checkInMinutes) / stations).toBeLessThan(25)
        if (code !== 'cormorant-rock' && f.at < index.brief.closesAt)
          expect((f.at - last) / MINUTE).toBeLessThan(ellery.policy.countEveryMinutes)
        if (code !== 'north-light' && f.at < index.brief.closesAt) {
          const of = (is: unknown) => ({ is: Number(is), asOf: f.at })
          const now = stock(index.brief, expected, of(f.body.ballotsLeft), of(f.body.checkedIn), f.at)
          expect([code, now.left >= now.stillExpected * ellery.policy.ballotsMargin]).toEqual([code, true])
        }
        last = f.at
      }
    }
  })

  it('the tablet that dies says nothing more, and the lost return is the only one missing', () => {
    expect(factsOf(seed, 'saltmarsh-school').every(f => hhmm(f.at) < '09:24')).toBe(true)
    const missing = [...dayOf(seed).precincts]
      .filter(([, s]) => !s.facts.some(f => f.kind === 'ReturnReceived'))
      .map(([code]) => code)
    expect(missing.sort()).toEqual(['ebb-island', 'saltmarsh-school'])
  })
})
