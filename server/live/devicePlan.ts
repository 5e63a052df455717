import { sealsWrong, sealWorkOf } from '../domain/custody/sealWork.ts'
import { outstandingInSlot, standingOf } from '../domain/day/standing.ts'
import type { PrecinctState } from '../domain/day/state.ts'
import type { PlanIndex } from '../domain/plan/brief.ts'
import { guideOf } from '../domain/plan/guides.ts'
import { sealPrint } from '../domain/plan/sealPrint.ts'
import { toRfc3339 } from '../domain/time.ts'
import { type DevicePlan, WIRE } from '../protocol/device.ts'

/** What one precinct's device needs of the plan and of what the office has. Expected seal numbers stay here. */
export function devicePlanOf(
  p: PrecinctState,
  index: PlanIndex,
  day: string,
  notices: DevicePlan['notices'],
): DevicePlan | null {
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
      sheets: planned.precinct.sheets ?? 1,
      counted: planned.precinct.counted ?? 'here',
    },
    ...(plan.titles ? { titles: plan.titles } : {}),
    contacts: planned.contacts.map(({ role, phone }) => ({ role, phone })),
    tabulators: brief.tabulators[p.code] ?? [],
    equipment: brief.equipment[p.code] ?? [],
    containers: [...planned.openingSeals],
    closingContainers: [...planned.seals.keys()].filter(c => !planned.openingSeals.includes(c)),
    sealPrints: Object.fromEntries([...planned.seals].map(([c, number]) => [c, sealPrint(day, c, number)])),
    // Who keeps the building's keys is rung, and is no worker who could be missing.
    roles: [...new Set(planned.contacts.map(c => c.role))].filter(role => !/^custodian$/i.test(role)),
    steps: [...planned.opening, ...planned.closing].map(s => ({
      code: s.code,
      phase: s.phase,
      title: s.title,
      after: s.after,
      byTwo: s.byTwo,
      completedBy: s.completedBy,
      guide: guideOf(s),
      how: s.how,
      see: s.see,
      titleEs: s.titleEs,
      howEs: s.howEs,
      seeEs: s.seeEs,
    })),
    cards: plan.cards ?? [],
    heartbeatSeconds: plan.policy.heartbeat.periodSeconds,
    countEveryMinutes: plan.policy.countEveryMinutes,
    countTolerance: plan.policy.countTolerance,
    page: plan.policy.precinctPage,
    notices,
    has: hasOf(p, index),
  }
}

/** What the office has, so that a new tablet goes on from there. */
function hasOf(p: PrecinctState, index: PlanIndex): DevicePlan['has'] {
  const planned = index.precincts.get(p.code)!
  return {
    standing: standingOf(p, index),
    steps: Object.keys(p.steps),
    tapes: Object.fromEntries(Object.entries(p.tapes).map(([tag, t]) => [tag, t.is.is])),
    seals: Object.keys(p.seals),
    sealsWrong: sealsWrong(p, planned),
    sealWork: sealWorkOf(p).map(({ at, ...work }) => ({ at: toRfc3339(at), ...work })),
    team: p.team && {
      present: p.team.is.present,
      missing: p.team.is.missing.reduce((sum, m) => sum + m.howMany, 0),
    },
    polls: p.polls?.is ?? 'not-open',
    slotOpen: p.slot?.is === 'open',
    down: Object.entries(p.down)
      .filter(([, d]) => d.is.down)
      .map(([tag]) => tag),
    checkedIn: p.counts.checkedIn?.is ?? null,
    countedAt: p.counts.checkedIn ? toRfc3339(p.counts.checkedIn.asOf) : null,
    inSlot: outstandingInSlot(p),
    ballotsLeft: p.counts.ballotsLeft?.is ?? null,
    spoiled: p.counts.spoiled?.is ?? null,
    provisional: p.counts.provisional?.is ?? null,
    curbside: p.counts.curbside?.is ?? null,
    inLine: p.counts.inLine?.is ?? null,
    publicCount: Object.fromEntries(Object.entries(p.publicCounts).map(([tag, c]) => [tag, c.is])),
    replaced: { ...p.replaced },
    closingTapes: Object.keys(p.closingTapes),
    reconciled: p.reconciled !== null,
    placeMoved: p.moved !== null,
    received: p.received !== null,
    departed: p.departed !== null,
  }
}
