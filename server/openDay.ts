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

/** The plan and its day, kept. `openedAt` null: nobody has opened it yet. */
export async function keepDay(
  days: Days,
  plan: Plan,
  hash: string,
  openedAt: number | null,
  seed: number | null,
): Promise<DayRecord> {
  await days.savePlan(hash, canonicalPlan(plan))
  return days.create(dayOf(plan, hash, openedAt, seed))
}

/** What a day is made of, but for what happens to it later. */
function dayOf(plan: Plan, hash: string, openedAt: number | null, seed: number | null) {
  return {
    id: dayIdOf(plan),
    county: plan.county,
    name: plan.name,
    kind: plan.kind,
    date: plan.date,
    timeZone: plan.timeZone,
    planHash: hash,
    openedAt,
    seed,
  }
}

/** The day that a plan would be kept as: new, there with this very plan, or in place of a plan whose day has not begun. */
export type Keeping =
  | { ok: true; id: string; is: 'new' | 'there' | 'replaces' }
  | { ok: false; id: string; message: string }

/**
 * A practice day that was closed stands in the record: the same plan makes a day of its own after it, `…-practice-2`,
 * `…-practice-3`. There is one election day of a county and date.
 */
export async function keepingOf(days: Days, plan: Plan, hash: string): Promise<Keeping> {
  const first = dayIdOf(plan)
  for (let n = 1; ; n++) {
    const id = n === 1 ? first : `${first.slice(0, 74)}-${n}`
    const there = await days.get(id)
    if (!there) return { ok: true, id, is: 'new' }
    if (there.closedAt !== null) {
      if (plan.kind === 'practice') continue
      return { ok: false, id, message: `the day ${id} is closed: its record stands, with the plan it had` }
    }
    if (there.planHash === hash) return { ok: true, id, is: 'there' }
    if (!(await days.begun(id))) return { ok: true, id, is: 'replaces' }
    return {
      ok: false,
      id,
      message: `the day ${id} has begun with another plan (${there.planHash.slice(0, 12)})`,
    }
  }
}

/** Keeps a plan as `keepingOf` says, at once opened where `openedAt` is given. */
export async function keepPlan(
  days: Days,
  plan: Plan,
  hash: string,
  openedAt: number | null,
  seed: number | null = null,
): Promise<Keeping> {
  const keeping = await keepingOf(days, plan, hash)
  if (!keeping.ok) return keeping
  const fresh = { ...dayOf(plan, hash, openedAt, seed), id: keeping.id }
  if (keeping.is === 'replaces') {
    // It may have begun a moment ago.
    if (!(await days.replan(fresh, canonicalPlan(plan)))) return keepingOf(days, plan, hash)
  } else if (keeping.is === 'new') {
    await days.savePlan(hash, canonicalPlan(plan))
    await days.create(fresh)
  }
  if (openedAt !== null) await days.open(keeping.id, openedAt)
  return keeping
}
