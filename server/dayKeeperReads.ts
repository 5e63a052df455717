import type { DayRecord, Days } from '../db/days.ts'
import type { Access } from './access/access.ts'
import { planSummary } from './cli/plan.ts'
import { planHash } from './cli/planFiles.ts'
import { inUse, refusedOf, setupDayOf, setupPlanOf } from './dayKeeperAnswers.ts'
import type { Practice } from './dayKeeperPractice.ts'
import { toRfc3339 } from './domain/time.ts'
import type { Refused, SetupDays } from './http/setupRoutes.ts'
import { keepingOf, keepPlan } from './openDay.ts'
import type { RunningDays } from './runningDays.ts'
import { uploadedPlan } from './setup/uploadedPlan.ts'

/** What the keeper tells of its days and plans, and what it keeps without running anything: plans and codes. */
export type KeptDays = Pick<SetupDays, 'list' | 'upload' | 'codes' | 'revoke' | 'plan' | 'refused'> & {
  /** Days that boards can be opened of: those that run, then those that are closed, latest first. */
  brief(): Promise<DayBrief[]>
}
type DayBrief = {
  id: string
  county: string
  name: string
  kind: string
  date: string
  running: boolean
}

const REFUSED_SHOWN = 200

export function keptDays(deps: {
  days: Days
  access: Access
  live: RunningDays
  practiceOf(day: string): Practice | null
  /** Whether this machine has the keys of a day's simulated tablets. */
  hasTablets(day: string): boolean
}): KeptDays {
  const { days, access, live } = deps
  const precinctsOfPlan = new Map<string, number>()

  async function precinctsOf(record: DayRecord): Promise<number> {
    const known = live.running.get(record.id)?.plan.precincts.length ?? precinctsOfPlan.get(record.planHash)
    if (known !== undefined) return known
    const count = (await days.plan(record.planHash)).precincts.length
    precinctsOfPlan.set(record.planHash, count)
    return count
  }

  return {
    list: async () => {
      const all = await days.list()
      return Promise.all(
        all.map(async record => {
          const practice = deps.practiceOf(record.id)
          return setupDayOf(record, {
            precincts: await precinctsOf(record),
            devices: inUse(await access.devicesOf(record.id)).length,
            live: live.running.get(record.id) ?? null,
            simulated: practice ? practice.simulator() !== null : deps.hasTablets(record.id),
            morningUntil: practice?.morningUntil() ?? null,
            trouble: practice?.trouble() ?? null,
          })
        }),
      )
    },
    brief: async () => {
      const all = (await days.list()).map(d => ({ ...d, running: live.running.has(d.id) }))
      const shown = [...all.filter(d => d.running), ...all.filter(d => d.closedAt !== null).reverse()]
      return shown.map(({ id, county, name, kind, date, running }) => ({
        id,
        county,
        name,
        kind,
        date,
        running,
      }))
    },
    upload: async ({ files, keep }) => {
      const checked = await uploadedPlan(files)
      if ('faults' in checked) return { ok: false, faults: checked.faults }
      const { plan } = checked
      const hash = planHash(plan)
      const keeping = keep ? await keepPlan(days, plan, hash, null) : await keepingOf(days, plan, hash)
      if (!keeping.ok)
        return {
          ok: false,
          faults: [
            { file: 'plan.json', line: null, column: 'date', found: plan.date, message: keeping.message },
          ],
        }
      return {
        ok: true,
        day: keeping.id,
        hash,
        summary: planSummary(plan),
        replaces: keeping.is === 'replaces',
        kept: keep,
      }
    },
    codes: async (day, precincts) => {
      const record = await days.get(day)
      if (!record) return unknownDay
      const refused = closedAlready(record)
      if (refused) return refused
      const plan = live.running.get(day)?.plan ?? (await days.plan(record.planHash))
      const wanted = precincts && new Set(precincts)
      for (const { code } of plan.precincts) wanted?.delete(code)
      const unknown = wanted?.values().next().value
      if (unknown !== undefined) return no('precincts', `there is no precinct ${unknown} in this day’s plan`)
      const asked = precincts && new Set(precincts)
      const places = new Map(plan.places.map(p => [p.code, p.name]))
      const codes = []
      for (const { code, name, place } of plan.precincts)
        if (asked?.has(code) ?? true)
          codes.push({
            precinct: code,
            name,
            place: places.get(place) ?? '',
            code: await access.issueCode(day, code),
          })
      return { ok: true as const, codes }
    },
    revoke: async (day, device) => {
      const record = await days.get(day)
      if (!record) return unknownDay
      const refused = closedAlready(record)
      if (refused) return refused
      // While a day runs its log says who revoked what; what was revoked before is noted when it runs.
      if (live.running.has(day)) return no('day', `${day} runs: revoke it by the command RevokeDevice`)
      if (!(await access.devicesOf(day)).some(d => d.id === device))
        return no('device', 'there is no such device on this day')
      await access.revoke(device)
      return { ok: true }
    },
    plan: async day => {
      const record = await days.get(day)
      if (!record) return null
      const plan = live.of(day)?.plan ?? (await days.plan(record.planHash))
      return setupPlanOf(record, plan, await access.devicesOf(day))
    },
    refused: async day => {
      if (!(await days.get(day))) return null
      const names = new Map((await access.people()).map(p => [p.id, p.name]))
      const nameOf = (person: string) => names.get(person) ?? null
      return refusedOf(await days.refused(day, REFUSED_SHOWN), await access.devicesOf(day), nameOf)
    },
  }
}

export function no(path: string, message: string): Refused {
  return { ok: false, problems: [{ path, message }] }
}

export const unknownDay: Refused = { ...no('day', 'there is no such day'), missing: true }

export function closedAlready({ id, closedAt }: DayRecord): Refused | null {
  if (closedAt === null) return null
  return no('day', `${id} was closed at ${toRfc3339(closedAt)}: it can be read, and nothing else`)
}
