import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { practiceDay } from '../../seed/simulator/script.ts'
import { planHash, readPlanFolder } from '../../server/cli/planFiles.ts'
import { planImportVip, vipWords } from '../../server/cli/vip.ts'
import { evolve } from '../../server/domain/day/evolve.ts'
import { initialDay } from '../../server/domain/day/initial.ts'
import { standingOf } from '../../server/domain/day/standing.ts'
import { checkPrecinctReport, partDetail } from '../../server/domain/log/check.ts'
import type { Entry } from '../../server/domain/log/entry.ts'
import { kinds } from '../../server/domain/log/kinds.ts'
import { indexOf } from '../../server/domain/plan/brief.ts'
import type { Plan } from '../../server/domain/plan/plan.ts'
import { aZip } from '../support/aFeed.ts'
import { goodPlanOf } from '../support/feedPlan.ts'
import { SAMPLE_FEED, SCHEMA_6 } from './samples.ts'

const folder = mkdtempSync(join(tmpdir(), 'sunup-sample-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))
const sample = readFileSync(SAMPLE_FEED, 'utf8')

const write = async (file: string, dir: string): Promise<{ plan: Plan; out: string[] }> => {
  const words = vipWords(['--vip', file, '--to', dir])
  if ('lines' in words) throw new Error(words.lines.join('\n'))
  const out: string[] = []
  const say = (line: string) => void out.push(line)
  expect(await planImportVip(words, { out: say, complain: say }, async () => 1), out.join('\n')).toBe(0)
  const read = readPlanFolder(dir)
  if ('faults' in read) throw new Error(JSON.stringify(read.faults))
  return { plan: read.plan, out }
}

let plan: Plan
beforeAll(async () => {
  plan = (await write(SAMPLE_FEED, join(folder, 'plan'))).plan
})

describe('the specification’s own sample feed', () => {
  // Counted in the file itself: 32 Precinct elements of 27 names, 27 PollingLocation elements.
  it('becomes a plan of 25 precincts in 25 places: five pairs of splits are one each, two elements run no polls', async () => {
    const made = await goodPlanOf(sample)
    expect(plan.precincts).toHaveLength(25)
    expect(plan.places).toHaveLength(25)
    expect(made.assumed('splits')?.precincts).toBe(5)
    expect(made.left('precincts of mail voters')).toEqual(['9999 - PERMANENT MAIL-IN'])
    expect(made.left('precincts that name nothing but early-voting sites and drop boxes')).toEqual([
      '0000 - COUNTY-WIDE EARLY VOTING CENTER',
    ])
    expect(made.left('drop boxes')).toHaveLength(1)
    expect(made.left('early-voting sites that are not open on election day')).toEqual([
      'ALBEMARLE HIGH SCHOOL',
    ])
    expect(made.left('localities')).toHaveLength(1)
  })

  it('gives date, hours and zone; its offsets are right for that day', async () => {
    const made = await goodPlanOf(sample)
    expect([plan.date, plan.timeZone]).toEqual(['2013-11-05', 'America/New_York'])
    expect([plan.hours.open, plan.hours.close]).toEqual(['06:00', '19:00'])
    expect(made.assumed('offset')).toBeNull()
    expect(made.assumed('hours')?.precincts).toBe(25)
  })

  it('has nine places without a position and one whose position lies in another state', async () => {
    const made = await goodPlanOf(sample)
    expect(made.assumed('position missing')?.precincts).toBe(9)
    expect(made.assumed('position not believed')?.names).toEqual(['502 - STONY POINT'])
    expect(
      plan.places.every(p => Math.abs(p.latitude - 38) < 0.5 && Math.abs(p.longitude + 78.5) < 0.5),
    ).toBe(true)
  })

  it('gives the same plan with its elements backwards, as version 6.0, and in a zip', async () => {
    const [head = '', body = ''] = sample.split(/(?<=<VipObject[^>]*>)/)
    const elements = [...body.matchAll(/^ {2,3}<(\w+) [\s\S]*?^ {2,3}<\/\1>/gm)].map(m => m[0])
    expect(elements.length).toBeGreaterThan(200)
    const backwards = `${head.replace('"5.2"', '"6.0"')}${elements.reverse().join('\n')}</VipObject>`
    expect(planHash((await goodPlanOf(backwards)).plan)).toBe(planHash(plan))
    const zip = join(folder, 'sample.zip')
    writeFileSync(zip, aZip([{ name: 'vipFeed.xml', bytes: Buffer.from(sample) }]))
    expect(planHash((await write(zip, join(folder, 'zipped'))).plan)).toBe(planHash(plan))
  })

  it('carries no person into the plan: no name or telephone of an official or candidate', () => {
    const people = [...sample.matchAll(/<(?:LastName|Phone)[^>]*>([^<]+)</g)].map(m => m[1]!)
    expect(people.length).toBeGreaterThan(20)
    const telephones = people.filter(p => /\d{7}/.test(p))
    for (const file of ['precincts.csv', 'places.csv', 'plan.json', 'contacts.csv', 'ASSUMPTIONS.md'])
      for (const phone of telephones)
        expect(readFileSync(join(folder, 'plan', file), 'utf8')).not.toContain(phone)
    expect(plan.contacts).toEqual([])
  })

  it('becomes a day that the simulator plays from team to return without anything the plan does not know', () => {
    const index = indexOf(plan, 'sample')
    const state = initialDay('sample', index)
    const all = [...practiceDay(plan, 1).precincts].flatMap(([code, { facts }]) =>
      facts.map((fact, i) => ({ code, number: i + 1, ...fact })),
    )
    all.sort((a, b) => a.at - b.at)
    expect(all.length).toBeGreaterThan(1_000)
    all.forEach(({ code, number, at, kind, body }, i) => {
      const checked = checkPrecinctReport(kind, body)
      if ('problems' in checked) throw new Error(`${code} ${kind}: ${JSON.stringify(checked.problems)}`)
      const planned = index.precincts.get(code)!
      const { tabulator, equipment, container, step, publicCount } = body as Record<string, string>
      for (const tag of [tabulator, equipment, ...Object.keys(publicCount ?? {})])
        if (tag !== undefined) expect(planned.equipment.has(tag), `${kind} ${tag}`).toBe(true)
      if (container !== undefined) expect(planned.seals.has(container), container).toBe(true)
      if (step !== undefined) expect(index.steps.has(step), step).toBe(true)
      evolve(
        state,
        {
          kind,
          version: kinds[kind].version,
          precinct: code,
          source: `device:${code}`,
          number,
          occurredAt: at,
          recordedAt: at,
          position: i + 1,
          origin: { via: 'device' },
          body: partDetail(checked.kind, checked.body).body,
        } as Entry,
        index,
      )
    })
    const standings = [...state.precincts.values()].map(p => standingOf(p, index))
    expect(standings).toHaveLength(25)
    // Whether the office checks returns in by itself is the simulator's business.
    expect(standings.filter(s => s !== 'received' && s !== 'returning')).toEqual([])
  })
})

it('every element that is read stands in the schema of version 6.0', () => {
  const schema = readFileSync(SCHEMA_6, 'utf8')
  const read =
    `AddressLine AddressStructured City Date DateTime Department ContactInformation ElectionAdministrationId
    EndDate EndTime ExternalIdentifier ExternalIdentifiers Hours HoursOpen HoursOpenId IsDropBox IsEarlyVoting IsMailOnly
    LatLng Latitude Line1 Line2 Line3 Locality LocalityId Longitude Name Number OtherType Phone PollingLocation
    PollingLocationIds Precinct PrecinctSplitName Schedule Source StartDate StartTime State StateId Text Type Value VipId
    Ward Zip Election ElectionAdministration ElectionType`.split(/\s+/)
  expect(read.filter(name => !schema.includes(`<xs:element name="${name}"`))).toEqual([])
})
