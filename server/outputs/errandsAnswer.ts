import { isOpenErrand } from '../domain/day/errand.ts'
import type { DayState, Errand } from '../domain/day/state.ts'
import type { DayLogReader } from '../domain/log/dayLog.ts'
import type { PlanIndex } from '../domain/plan/brief.ts'
import { toRfc3339 } from '../domain/time.ts'
import { ERRANDS_SHOWN, type ErrandOnWire, type ErrandsAnswer } from '../protocol/errands.ts'

export type ErrandsOf = { day: string; index: PlanIndex; state(): DayState }

/**
 * Errands with their words and places (P14: of one rover alone, where `rover` is given; null: nobody's, for a
 * rover without a post; undefined: all).
 */
export async function errandsAnswer(
  day: ErrandsOf,
  log: Pick<DayLogReader, 'read'>,
  rover?: string | null,
): Promise<ErrandsAnswer> {
  const theirs = [...day.state().errands.values()].filter(e => rover === undefined || e.rover === rover)
  const open = theirs.filter(isOpenErrand)
  const ended = theirs.filter(e => !isOpenErrand(e)).sort((a, b) => b.touchedAt - a.touchedAt)
  const errands = await Promise.all(
    [...open, ...ended].slice(0, ERRANDS_SHOWN).map(errand => onWire(errand, day, log)),
  )
  return { officePhone: day.index.plan.officePhone, errands: errands.filter(e => e !== null) }
}

async function onWire(
  errand: Errand,
  day: ErrandsOf,
  log: Pick<DayLogReader, 'read'>,
): Promise<ErrandOnWire | null> {
  const planned = day.index.precincts.get(errand.precinct)
  if (!planned) return null
  const { code, name, address, latitude, longitude } = planned.place
  const wordsAt = async (position: number) => (await log.read(day.day, position - 1, 1))[0]?.detail
  const sent = await wordsAt(errand.position)
  const last = isOpenErrand(errand) ? undefined : await wordsAt(errand.touchedAt)
  const end = last?.note ?? last?.why
  return {
    id: errand.id,
    rover: errand.rover,
    precinct: errand.precinct,
    is: errand.is,
    assignedAt: toRfc3339(errand.assignedAt),
    acceptedAt: text(errand.acceptedAt),
    onTheWayAt: text(errand.onTheWayAt),
    onSiteAt: text(errand.onSiteAt),
    endedAt: text(errand.endedAt),
    place: { code, name, address, latitude, longitude },
    precincts: day.index.plan.precincts
      .filter(p => p.place === code)
      .map(p => ({ code: p.code, name: p.name })),
    ...(sent?.what === undefined ? {} : { what: sent.what }),
    ...(end === undefined ? {} : { end }),
  }
}

function text(at: number | null): string | null {
  return at === null ? null : toRfc3339(at)
}
