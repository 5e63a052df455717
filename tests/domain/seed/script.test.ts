import { describe, expect, it } from 'vitest'
import { practiceDay } from '../../../seed/simulator/script.ts'
import { checkPrecinctReport } from '../../../server/domain/log/check.ts'
import { MINUTE } from '../../../server/domain/time.ts'
import { heartbeatRequest } from '../../../server/protocol/device.ts'
import { dayOf, ellery, factsOf, index, SEEDS } from './playing.ts'

const asText = (day: ReturnType<typeof practiceDay>) => JSON.stringify([...day.precincts])

describe('the practice day as a script', () => {
  it('is the same twice for one seed, and another for another', () => {
    expect(asText(practiceDay(ellery, 7))).toBe(asText(dayOf(7)))
    expect(asText(dayOf(1))).not.toBe(asText(dayOf(7)))
  })

  it('gives a precinct the same day whatever other precincts the plan has', () => {
    const fewer = { ...ellery, precincts: ellery.precincts.slice(0, 20) }
    const code = fewer.precincts[19]!.code
    expect(practiceDay(fewer, 7).precincts.get(code)).toEqual(dayOf(7).precincts.get(code))
  })

  it.each(SEEDS)('of seed %i says only what the wire takes, in order of time', seed => {
    for (const [code, script] of dayOf(seed).precincts) {
      expect(script.facts.length).toBeGreaterThan(15)
      let last = 0
      for (const fact of script.facts) {
        const checked = checkPrecinctReport(fact.kind, fact.body)
        if ('problems' in checked)
          throw new Error(`${code} ${fact.kind}: ${JSON.stringify(checked.problems)}`)
        expect(fact.at).toBeGreaterThanOrEqual(last)
        last = fact.at
      }
    }
  })

  it.each(SEEDS)('of seed %i names only equipment, containers and steps of its own precinct', seed => {
    const steps = new Set(ellery.steps.map(s => s.code))
    for (const [code, { facts }] of dayOf(seed).precincts) {
      const planned = index.precincts.get(code)!
      for (const { kind, body } of facts) {
        const tags = [
          body.equipment,
          body.tabulator,
          ...Object.keys((body.publicCount as object | undefined) ?? {}),
        ]
        for (const tag of tags) if (typeof tag === 'string') expect(planned.equipment.has(tag)).toBe(true)
        if (kind === 'SealRecorded') expect(planned.seals.has(String(body.container))).toBe(true)
        if (kind === 'StepCompleted') expect(steps.has(String(body.step))).toBe(true)
      }
    }
  })

  it('opens nobody before the legal hour, and all others within two minutes of it', () => {
    const late = new Set(['gull-point', 'quarry-lane'])
    for (const code of dayOf(7).precincts.keys()) {
      const opened = factsOf(7, code).find(f => f.kind === 'PollsOpened')!.at
      expect(opened).toBeGreaterThanOrEqual(index.brief.opensAt)
      if (!late.has(code)) expect(opened).toBeLessThan(index.brief.opensAt + 2 * MINUTE)
    }
  })

  it('has every opening step done by a normal precinct before the polls open', () => {
    const quiet = [...dayOf(7).precincts.keys()].filter(c => !['gull-point', 'quarry-lane'].includes(c))
    for (const code of quiet) {
      const facts = factsOf(7, code)
      const opened = facts.findIndex(f => f.kind === 'PollsOpened')
      const before = facts.slice(0, opened)
      const steps = before.filter(f => f.kind === 'StepCompleted').map(f => f.body.step)
      expect(steps.sort()).toEqual(['ballots', 'box', 'check-in', 'door', 'room', 'tabulator'])
      expect(before.filter(f => f.kind === 'OpeningTapeVerified')).toHaveLength(
        index.precincts.get(code)!.tabulators.length,
      )
    }
  })
})

describe('heartbeats', () => {
  it('pass the schema of the wire all day, and are none while the tablet is off', () => {
    let checked = 0
    for (const [code, script] of dayOf(1).precincts) {
      const { from, until } = script.heartbeats
      expect(dayOf(1).heartbeatAt(code, from - 1)).toBeNull()
      expect(dayOf(1).heartbeatAt(code, until)).toBeNull()
      for (let at = from; at < until; at += 20 * MINUTE) {
        const parsed = heartbeatRequest.safeParse({
          sentAt: new Date(at).toISOString(),
          ...dayOf(1).heartbeatAt(code, at),
        })
        if (!parsed.success) throw new Error(`${code}: ${parsed.error.message}`)
        checked++
      }
    }
    expect(checked).toBeGreaterThan(2_000)
  })

  it('carry each part as of the fact that said it, so nothing is freshened', () => {
    const day = dayOf(7)
    const facts = factsOf(7, 'old-ferry-road')
    const at = index.brief.opensAt + 3.5 * 60 * MINUTE
    const says = day.heartbeatAt('old-ferry-road', at)!
    const lastCount = facts.filter(f => f.kind === 'CountsReported' && f.at <= at).at(-1)!
    expect(says.counts?.checkedIn).toEqual({
      is: lastCount.body.checkedIn,
      asOf: new Date(lastCount.at).toISOString(),
    })
    expect(says.status?.slot).toEqual({ is: 'open', asOf: '2026-11-03T14:13:00.000Z' })
    expect(says.status?.equipmentDown).toEqual({ is: ['T251'], asOf: '2026-11-03T14:12:00.000Z' })
    const soon = day.heartbeatAt('old-ferry-road', at + MINUTE)!
    expect({ ...soon, device: null }).toEqual({ ...says, device: null })
  })
})
