import type { DayRecord, Days } from '../db/days.ts'
import { canonicalPlan } from './domain/plan/hash.ts'
import type { Plan } from './domain/plan/plan.ts'
import { instantOf } from './domain/plan/zone.ts'
import { type Instant, MINUTE } from './domain/time.ts'

/** `ellery-county-2026-11-03-practice`: county, date and, for a practice day, that it is one. */
export function dayIdOf(plan: Plan): string {
  const county = plan.county
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, '-')
    .replace(/^-|-$/g, '')
  return `${county}-${plan.date}${plan.kind === 'practice' ? '-practice' : ''}`.slice(0, 80)
}

/** A practice clock starts a quarter of an hour before the teams report. */
export function practiceStart(plan: Plan): Instant {
  return instantOf(plan.date, plan.hours.report, plan.timeZone) - 15 * MINUTE
}

/** The plan and its day, kept. The day's first entry is written when it is run. */
export async function keepDay(
  days: Days,
  plan: Plan,
  hash: string,
  wall: number,
  seed: number | null,
): Promise<DayRecord> {
  await days.savePlan(hash, canonicalPlan(plan))
  return days.create(dayOf(plan, hash, wall, seed))
}

/** What a day is made of, but for what happens to it later. */
export function dayOf(plan: Plan, hash: string, wall: number, seed: number | null) {
  return {
    id: dayIdOf(plan),
    county: plan.county,
    name: plan.name,
    kind: plan.kind,
    date: plan.date,
    timeZone: plan.timeZone,
    planHash: hash,
    openedAt: wall,
    seed,
  }
}
