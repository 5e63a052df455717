import { outstandingInSlot, standingOf } from '../domain/day/standing.ts'
import type { PrecinctState } from '../domain/day/state.ts'
import type { PlanIndex } from '../domain/plan/brief.ts'
import { toRfc3339 } from '../domain/time.ts'
import { type DevicePlan, WIRE } from '../protocol/device.ts'

/** What one precinct's device needs of the plan and of what the office has. Expected seal numbers stay here. */
export function devicePlanOf(p: PrecinctState, index: PlanIndex, day: string): DevicePlan | null {
  const planned = index.precincts.get(p.code)
  if (!planned) return null
  const { plan, brief } = index
  return {
    wire: WIRE.version,
    day,
    kind: plan.kind,
    county: plan.county,
    dayName: plan.name,
    timeZone: plan.timeZone,
    opensAt: toRfc3339(brief.opensAt),
    closesAt: toRfc3339(brief.closesAt),
    officePhone: plan.officePhone,
    precinct: {
      code: p.code,
      name: planned.precinct.name,
      place: planned.place.name,
      workers: planned.precinct.workers,
      ballots: planned.precinct.ballots,
    },
    tabulators: brief.tabulators[p.code] ?? [],
    equipment: brief.equipment[p.code] ?? [],
    containers: [...planned.openingSeals],
    roles: [...new Set(planned.contacts.map(c => c.role))],
    steps: [...planned.opening, ...planned.closing].map(s => ({
      code: s.code,
      phase: s.phase,
      title: s.title,
      after: s.after,
      byTwo: s.byTwo,
      completedBy: s.completedBy,
    })),
    heartbeatSeconds: plan.policy.heartbeat.periodSeconds,
    countEveryMinutes: plan.policy.countEveryMinutes,
    has: {
      standing: standingOf(p, index),
      steps: Object.keys(p.steps),
      tapes: Object.fromEntries(Object.entries(p.tapes).map(([tag, t]) => [tag, t.is.is])),
      seals: Object.keys(p.seals),
      polls: p.polls?.is ?? 'not-open',
      slotOpen: p.slot?.is === 'open',
      down: Object.entries(p.down)
        .filter(([, d]) => d.is.down)
        .map(([tag]) => tag),
      checkedIn: p.counts.checkedIn?.is ?? null,
      countedAt: p.counts.checkedIn ? toRfc3339(p.counts.checkedIn.asOf) : null,
      inSlot: outstandingInSlot(p),
      ballotsLeft: p.counts.ballotsLeft?.is ?? null,
      departed: p.departed !== null,
    },
  }
}
