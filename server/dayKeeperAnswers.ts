import type { z } from 'zod'
import type { DayRecord } from '../db/days.ts'
import type { RefusedReport } from '../db/keptAside.ts'
import type { Device } from './access/access.ts'
import type { Plan } from './domain/plan/plan.ts'
import { policy } from './domain/plan/policy.ts'
import { type Instant, toRfc3339 } from './domain/time.ts'
import { PAUSED } from './live/clock.ts'
import type { LiveDay } from './live/liveDay.ts'
import { withoutWords } from './outputs/withoutWords.ts'
import type { refusedReports, setupDay, setupPlan } from './protocol/setup.ts'

/** What the setup pages are told of days and plans: pure makers of the answers in protocol/setup.ts. */

/** A day's own state beside its record, where it runs. */
export type SetupDayNow = {
  precincts: number
  devices: number
  live: LiveDay | null
  simulated: boolean
  morningUntil: Instant | null
  trouble: string | null
}

const textOrNull = (at: Instant | null) => (at === null ? null : toRfc3339(at))

/**
 * | is | when |
 * |---|---|
 * | kept | nobody has opened or practised it |
 * | running | by this server |
 * | stopped | opened, and run by nobody now: a practice day until it is practised again, an election day until the next start |
 * | closed | for good |
 */
export function setupDayOf(record: DayRecord, now: SetupDayNow): z.output<typeof setupDay> {
  const { id, county, name, kind, date, timeZone, planHash, openedAt, closedAt } = record
  const speed = now.live?.speed() ?? 1
  return {
    id,
    county,
    name,
    kind,
    date,
    timeZone,
    planHash,
    precincts: now.precincts,
    devices: now.devices,
    is: closedAt !== null ? 'closed' : now.live ? 'running' : openedAt === null ? 'kept' : 'stopped',
    clock: now.live && { now: toRfc3339(now.live.now()), speed: speed <= PAUSED ? 0 : speed },
    simulated: now.simulated,
    morningUntil: textOrNull(now.morningUntil),
    trouble: now.trouble,
    openedAt: textOrNull(openedAt),
    closedAt: textOrNull(closedAt),
  }
}

export function setupPlanOf(
  record: DayRecord,
  plan: Plan,
  devices: readonly Device[],
): z.output<typeof setupPlan> {
  const enrolled = new Map<string, number>()
  for (const d of inUse(devices)) enrolled.set(d.precinct, (enrolled.get(d.precinct) ?? 0) + 1)
  const equipment = new Map<string, Plan['equipment']>()
  for (const e of plan.equipment) {
    const others = equipment.get(e.precinct)
    if (others) others.push(e)
    else equipment.set(e.precinct, [e])
  }
  const standard = policy.parse(undefined)
  const standards = new Map(figuresOf(standard))
  return {
    day: record.id,
    hash: record.planHash,
    hours: plan.hours,
    officePhone: plan.officePhone,
    places: plan.places.map(({ code, name, address, area, latitude, longitude }) => ({
      code,
      name,
      address,
      area,
      latitude,
      longitude,
    })),
    precincts: plan.precincts.map(p => ({
      code: p.code,
      name: p.name,
      place: p.place,
      registered: p.registered,
      expected: p.expected,
      ballots: p.ballots,
      stations: p.stations,
      workers: p.workers,
      equipment: (equipment.get(p.code) ?? []).map(({ tag, kind, label }) => ({ tag, kind, label })),
      devices: enrolled.get(p.code) ?? 0,
    })),
    rovers: plan.rovers.length,
    seals: plan.seals.length,
    steps: plan.steps.map(({ code, phase, title }) => ({ code, phase, title })),
    thresholds: figuresOf(plan.policy).map(([path, value]) => ({
      path,
      value,
      standard: standards.get(path)!,
    })),
    rules: Object.entries(plan.policy.rules).map(([rule, is]) => {
      const name = rule as keyof typeof standard.rules
      return { rule: name, is, standard: standard.rules[name] }
    }),
  }
}

export const inUse = (devices: readonly Device[]) =>
  devices.filter(d => d.revokedAt === null && d.replacedAt === null)

/** `heartbeat.periodSeconds` and its like, but for the rules. */
function figuresOf({ rules: _, ...thresholds }: Plan['policy']): Array<[string, number | boolean]> {
  return Object.entries(thresholds).flatMap(
    ([name, value]): Array<[string, number | boolean]> =>
      typeof value === 'object'
        ? Object.entries(value).map(([inner, figure]) => [`${name}.${inner}`, figure])
        : [[name, value]],
  )
}

export function refusedOf(
  refused: readonly RefusedReport[],
  devices: readonly Device[],
  nameOf: (person: string) => string | null,
): z.output<typeof refusedReports> {
  const byId = new Map(devices.map(d => [d.id, d]))
  return {
    refused: refused.map(({ source, number, receivedAt, sent, problems, aside, answer }) => {
      const id = source.replace(/^device:/, '')
      const device = byId.get(id)
      return {
        precinct: device?.precinct ?? null,
        device: id,
        label: device?.label ?? null,
        number,
        receivedAt: toRfc3339(receivedAt),
        kind: kindOf(sent),
        sent: withoutWords(sent),
        problems: [...problems],
        aside,
        answer: answer && {
          is: answer.is,
          by: answer.by === null ? null : nameOf(answer.by),
          at: toRfc3339(answer.at),
        },
      }
    }),
  }
}

function kindOf(sent: string): string | null {
  try {
    const { kind } = JSON.parse(sent) as { kind?: unknown }
    return typeof kind === 'string' ? kind.slice(0, 60) : null
  } catch {
    return null
  }
}
