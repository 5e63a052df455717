import { MINUTE } from '../time.ts'
import { instantAfter } from './hours.ts'
import type { Contact, Equipment, Place, Plan, PlannedPrecinct, Step, Style } from './plan.ts'
import { instantOf, midnightOf } from './zone.ts'

/** A quarter hour in milliseconds. */
export const QUARTER = 15 * MINUTE
/** Quarter hours of a day: 30 hours from local midnight, so that a late return is still on it. */
export const QUARTERS = 120

export type RoverBrief = { code: string; name: string; phone: string; base: string; skills: string[] }

/** The still part of a board: sent with a snapshot, never in a patch. */
export type PlanBrief = {
  day: string
  county: string
  name: string
  kind: 'election' | 'practice'
  date: string
  timeZone: string
  /** Local midnight of the day, and the legal hours, as instants. */
  midnight: number
  reportAt: number
  opensAt: number
  closesAt: number
  returnBy: number
  heartbeat: { periodSeconds: number; lateAfterSeconds: number; silentAfterSeconds: number }
  countEveryMinutes: number
  precincts: Array<{
    code: string
    name: string
    place: string
    placeName: string
    area: string
    latitude: number
    longitude: number
    /** Registered voters; null at a vote center, which has none of its own: no share is made of it. */
    registered: number | null
    expected: number
    ballots: number
    stations: number
    workers: number
    /** `shared`: one line for all precincts of the place. */
    line: 'own' | 'shared'
    serves: 'precinct' | 'everyone'
    counted: 'here' | 'centrally'
    /** Sheets of a ballot; public counts are sheets. */
    sheets: number
  }>
  steps: Array<{
    code: string
    phase: 'opening' | 'closing'
    title: string
    after: string[]
    medianMinutes: number
    p90Minutes: number
    completedBy: 'step' | 'team' | 'seals' | 'tape'
  }>
  tabulators: Record<string, Array<{ tag: string; label: string }>>
  equipment: Record<string, Array<{ tag: string; kind: string; label: string }>>
  containers: Record<string, string[]>
  /** Share of the day's voters per quarter hour since local midnight: 120 numbers that sum to 1. */
  profile: number[]
  rovers: RoverBrief[]
  /** Where rovers set out from, each place once. */
  bases: Array<{ code: string; name: string; latitude: number; longitude: number }>
  /** The policy's mean road speed and road to straight line (domain/dispatch/travel.ts). */
  travel: { kmPerHour: number; detour: number }
}

/** What the plan says of one precinct, ready to look up. */
export type PlannedIn = {
  precinct: PlannedPrecinct
  place: Place
  /** Precincts that stand in one line with this one, itself among them, in the plan's order; null: a line of its own. */
  sharesLine: readonly string[] | null
  /** Tags, in the plan's order. */
  tabulators: readonly string[]
  equipment: ReadonlyMap<string, Equipment>
  /** Expected seal number by container. */
  seals: ReadonlyMap<string, string>
  /** Containers whose seals are compared in the morning. */
  openingSeals: readonly string[]
  contacts: readonly Contact[]
  /** Ballot styles, in the plan's order; none: every voter here gets the same ballot. */
  styles: readonly Style[]
  /** Steps that apply here: without a tabulator there is no tape to verify, without a planned seal none to compare. */
  opening: readonly Step[]
  closing: readonly Step[]
}

export type PlanIndex = {
  day: string
  plan: Plan
  brief: PlanBrief
  precincts: ReadonlyMap<string, PlannedIn>
  /** Every step by code, and all of a phase in the plan's order. */
  steps: ReadonlyMap<string, Step>
  opening: readonly Step[]
  closing: readonly Step[]
  /** Where more ballots are kept; null: the plan doesn't say. */
  depot: Place | null
}

/** Looks everything up once. A precinct whose place isn't in the plan (plan check refuses it) throws. */
export function indexOf(plan: Plan, day: string): PlanIndex {
  const places = new Map(plan.places.map(p => [p.code, p]))
  const opening = plan.steps.filter(s => s.phase === 'opening')
  const closing = plan.steps.filter(s => s.phase === 'closing')
  const equipmentOf = byPrecinct(plan.equipment)
  const sealsOf = byPrecinct(plan.seals)
  const contactsOf = byPrecinct(plan.contacts)
  const stylesOf = byPrecinct(plan.styles ?? [])
  const sharing = sharedLines(plan, places)
  const precincts = new Map<string, PlannedIn>()
  for (const precinct of plan.precincts) {
    const place = places.get(precinct.place)
    if (!place) throw new Error(`the plan has no place ${precinct.place} for precinct ${precinct.code}`)
    const equipment = equipmentOf.get(precinct.code) ?? []
    const tabulators = equipment.filter(e => e.kind === 'tabulator').map(e => e.tag)
    const sealed = sealsOf.get(precinct.code) ?? []
    const openingSeals = sealed.filter(s => s.phase !== 'closing').map(s => s.container)
    const applies = (s: Step) => {
      if (s.completedBy === 'tape') return tabulators.length > 0
      return s.completedBy !== 'seals' || openingSeals.length > 0
    }
    precincts.set(precinct.code, {
      precinct,
      place,
      sharesLine: sharing.get(precinct.place) ?? null,
      tabulators,
      equipment: new Map(equipment.map(e => [e.tag, e])),
      seals: new Map(sealed.map(s => [s.container, s.number])),
      openingSeals,
      contacts: contactsOf.get(precinct.code) ?? [],
      styles: stylesOf.get(precinct.code) ?? [],
      opening: opening.filter(applies),
      closing: closing.filter(applies),
    })
  }
  const steps = new Map(plan.steps.map(s => [s.code, s]))
  const depot = (plan.depot !== undefined && places.get(plan.depot)) || null
  return { day, plan, brief: briefOf(day, plan), precincts, steps, opening, closing, depot }
}

/** What a board needs of the plan: hours as instants, profile as shares of quarter hours; no contacts, no seal numbers. */
export function briefOf(day: string, plan: Plan): PlanBrief {
  const places = new Map(plan.places.map(p => [p.code, p]))
  const { date, timeZone, hours, policy } = plan
  const opensAt = instantOf(date, hours.open, timeZone)
  const closesAt = instantAfter(opensAt, date, hours.close, timeZone)
  const equipment = perPrecinct(plan, plan.equipment, e => ({ tag: e.tag, kind: e.kind, label: e.label }))
  return {
    day,
    county: plan.county,
    name: plan.name,
    kind: plan.kind,
    date,
    timeZone,
    midnight: midnightOf(date, timeZone),
    reportAt: instantOf(date, hours.report, timeZone),
    opensAt,
    closesAt,
    returnBy: instantAfter(closesAt, date, hours.returnBy, timeZone),
    heartbeat: {
      periodSeconds: policy.heartbeat.periodSeconds,
      lateAfterSeconds: policy.heartbeat.lateAfterSeconds,
      silentAfterSeconds: policy.heartbeat.silentAfterSeconds,
    },
    countEveryMinutes: policy.countEveryMinutes,
    precincts: plan.precincts.map(p => {
      const place = places.get(p.place)
      return {
        code: p.code,
        name: p.name,
        place: p.place,
        placeName: place?.name ?? p.place,
        area: place?.area ?? '',
        latitude: place?.latitude ?? 0,
        longitude: place?.longitude ?? 0,
        registered: p.serves === 'everyone' ? null : p.registered,
        expected: p.expected,
        ballots: p.ballots,
        stations: p.stations,
        workers: p.workers,
        line: place?.line ?? 'own',
        serves: p.serves ?? 'precinct',
        counted: p.counted ?? 'here',
        sheets: p.sheets ?? 1,
      }
    }),
    steps: plan.steps.map(({ code, phase, title, after, medianMinutes, p90Minutes, completedBy }) => ({
      code,
      phase,
      title,
      after,
      medianMinutes,
      p90Minutes,
      completedBy,
    })),
    tabulators: Object.fromEntries(
      Object.entries(equipment).map(([code, list]) => [
        code,
        list.filter(e => e.kind === 'tabulator').map(({ tag, label }) => ({ tag, label })),
      ]),
    ),
    equipment,
    containers: perPrecinct(plan, plan.seals, s => s.container),
    profile: profileOf(plan),
    rovers: plan.rovers.map(({ code, name, phone, base, skills }) => ({ code, name, phone, base, skills })),
    bases: [...new Set(plan.rovers.map(r => r.base))].flatMap(code => {
      const base = places.get(code)
      return base ? [{ code, name: base.name, latitude: base.latitude, longitude: base.longitude }] : []
    }),
    travel: { kmPerHour: policy.travel.kmPerHour, detour: policy.travel.detour },
  }
}

/**
 * Share of the day's voters in each quarter hour since local midnight: a row's share is spread evenly over its
 * time, quarters that it covers in part get their part, and all is scaled to sum to 1. Without any share the
 * legal hours are filled evenly. What lies outside the day's 30 hours is left out.
 */
function profileOf(plan: Plan): number[] {
  const { date, timeZone, hours } = plan
  const midnight = midnightOf(date, timeZone)
  const shares = new Array<number>(QUARTERS).fill(0)
  // Where the polls close after midnight, times before the opening are of the next day.
  const earliest = hours.close < hours.open ? instantOf(date, hours.open, timeZone) : midnight
  const spread = (from: string, to: string, share: number) => {
    const start = instantAfter(earliest, date, from, timeZone)
    const end = instantAfter(start + 1, date, to, timeZone)
    for (let q = 0; q < QUARTERS; q++) {
      const at = midnight + q * QUARTER
      const overlap = Math.min(end, at + QUARTER) - Math.max(start, at)
      if (overlap > 0) shares[q] = shares[q]! + (share * overlap) / (end - start)
    }
  }
  for (const row of plan.profile) spread(row.from, row.to, row.share)
  if (shares.every(s => s === 0)) spread(hours.open, hours.close, 1)
  const sum = shares.reduce((a, b) => a + b, 0)
  return shares.map(s => s / sum)
}

/** Precincts by place, where several stand in one line. */
function sharedLines(plan: Plan, places: ReadonlyMap<string, Place>): Map<string, string[]> {
  const sharing = new Map<string, string[]>()
  for (const { code, place } of plan.precincts) {
    if (places.get(place)?.line !== 'shared') continue
    sharing.set(place, [...(sharing.get(place) ?? []), code])
  }
  for (const [place, codes] of sharing) if (codes.length < 2) sharing.delete(place)
  return sharing
}

function byPrecinct<T extends { precinct: string }>(rows: readonly T[]): Map<string, T[]> {
  const by = new Map<string, T[]>()
  for (const row of rows) {
    const list = by.get(row.precinct)
    if (list) list.push(row)
    else by.set(row.precinct, [row])
  }
  return by
}

function perPrecinct<T extends { precinct: string }, R>(
  plan: Plan,
  rows: readonly T[],
  brief: (row: T) => R,
): Record<string, R[]> {
  const by: Record<string, R[]> = Object.fromEntries(plan.precincts.map(p => [p.code, []]))
  for (const row of rows) by[row.precinct]?.push(brief(row))
  return by
}
