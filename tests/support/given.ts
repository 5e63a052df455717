import { callList } from '../../server/domain/day/callList.ts'
import { fold } from '../../server/domain/day/fold.ts'
import { initialDay } from '../../server/domain/day/initial.ts'
import type { BoardRow, CallLine } from '../../server/domain/day/row.ts'
import { rowOf } from '../../server/domain/day/rowOf.ts'
import { standingOf } from '../../server/domain/day/standing.ts'
import type { DayState, PrecinctState, Standing } from '../../server/domain/day/state.ts'
import type { Entry, Origin, Via } from '../../server/domain/log/entry.ts'
import type { Body, DeskKind, Kind, PrecinctKind, SystemKind } from '../../server/domain/log/kinds.ts'
import type { ErrandKind } from '../../server/domain/log/kindsOfErrand.ts'
import { indexOf, type PlanIndex } from '../../server/domain/plan/brief.ts'
import type { Plan } from '../../server/domain/plan/plan.ts'
import { instantOf } from '../../server/domain/plan/zone.ts'
import { type Instant, SECOND, toRfc3339 } from '../../server/domain/time.ts'
import { aPlan, DAY } from './aPlan.ts'

/**
 * Given what was said, when … then …: entries of a day in few words.
 *
 *     const day = given(says('E-01', '06:28', 'PollsOpened', {}), desk('E-01', '06:40', 'CallTaken', {}))
 *     expect(day.row('E-01').standing).toBe('open')
 *
 * Times are local wall times of aPlan()'s day, `HH:MM` or `HH:MM:SS`; `iso()` writes them as bodies want them.
 */
export type Said = Omit<Entry, 'position' | 'number'> & { number?: number | null }

export function at(time: string): Instant {
  const seconds = time.length > 5 ? Number(time.slice(6)) : 0
  return instantOf('2026-11-03', time.slice(0, 5), 'America/New_York') + seconds * SECOND
}

export function iso(time: string): string {
  return toRfc3339(at(time))
}

export type How = {
  /** Device id; by default one for each precinct. */
  device?: string
  /** When the office recorded it; by default when it happened. */
  recorded?: string
  via?: Via
  number?: number | null
  skewSeconds?: number
  /** Who wrote or gave the command. */
  wrote?: string
}

/** A precinct speaks: by its device, or with `via: 'caller'` or `'paper'` through the desk. */
export function says<K extends PrecinctKind>(
  precinct: string,
  time: string,
  kind: K,
  body: Body<K>,
  how: How = {},
): Said {
  const via = how.via ?? 'device'
  const source = via === 'device' ? `device:${how.device ?? `d-${precinct}`}` : `command:${precinct}-${time}`
  const number = how.number !== undefined ? how.number : kind === 'HeartbeatReceived' ? null : undefined
  return made(kind, body, precinct, time, source, via, { ...how, number })
}

export function desk<K extends DeskKind | ErrandKind>(
  precinct: string | null,
  time: string,
  kind: K,
  body: Body<K>,
  how: How = {},
): Said {
  return made(kind, body, precinct, time, `command:${kind}-${precinct}-${time}`, 'desk', {
    number: 1,
    wrote: 'ada',
    ...how,
  })
}

export function system<K extends SystemKind>(
  precinct: string | null,
  time: string,
  kind: K,
  body: Body<K>,
  how: How = {},
): Said {
  return made(kind, body, precinct, time, 'system', 'system', { number: null, ...how })
}

/** A reason raised, with the figures that most tests don't care about filled in. */
export function raised(
  precinct: string | null,
  time: string,
  rule: Body<'ReasonRaised'>['rule'],
  more: Partial<Body<'ReasonRaised'>> = {},
): Said {
  const key = precinct === null ? rule : `${rule}:${precinct}`
  return system(precinct, time, 'ReasonRaised', {
    key,
    rule,
    tier: 'soon',
    since: iso(time),
    voterMinutes: 0,
    evidence: {},
    ...more,
  })
}

export function ended(precinct: string | null, time: string, rule: Body<'ReasonEnded'>['rule']): Said {
  return system(precinct, time, 'ReasonEnded', {
    key: precinct === null ? rule : `${rule}:${precinct}`,
    rule,
  })
}

function made<K extends Kind>(
  kind: K,
  body: Body<K>,
  precinct: string | null,
  time: string,
  source: string,
  via: Via,
  how: How,
): Said {
  const occurredAt = at(time)
  const origin: Origin = { via }
  if (how.wrote !== undefined) origin.wrote = how.wrote
  if (how.skewSeconds !== undefined) origin.skewSeconds = how.skewSeconds
  const recordedAt = how.recorded === undefined ? occurredAt : at(how.recorded)
  return {
    kind,
    version: 1,
    precinct,
    source,
    number: how.number,
    occurredAt,
    recordedAt,
    origin,
    body,
  } as Said
}

/** As the log would hold them: positions in the order given, and each source's own numbers. */
export function entriesOf(said: readonly Said[]): Entry[] {
  const numbers = new Map<string, number>()
  return said.map((s, i) => {
    let { number } = s
    if (number === undefined) {
      number = (numbers.get(s.source) ?? 0) + 1
      numbers.set(s.source, number)
    }
    return { ...s, number, position: i + 1 } as Entry
  })
}

export type Given = {
  plan: Plan
  index: PlanIndex
  entries: Entry[]
  state: DayState
  p(code: string): PrecinctState
  row(code: string): BoardRow
  standing(code: string): Standing
  calls(time: string): CallLine[]
}

export function given(...said: Said[]): Given {
  return givenPlan(aPlan(), ...said)
}

export function givenPlan(plan: Plan, ...said: Said[]): Given {
  const index = indexOf(plan, DAY)
  const entries = entriesOf(said)
  const state = fold(initialDay(DAY, index), entries, index)
  const p = (code: string) => {
    const found = state.precincts.get(code)
    if (!found) throw new Error(`no precinct ${code} in this plan`)
    return found
  }
  return {
    plan,
    index,
    entries,
    state,
    p,
    row: code => rowOf(p(code), index),
    standing: code => standingOf(p(code), index),
    calls: time => callList(state, index, at(time)),
  }
}

/** Everything of the opening at E-01, one thing a minute from 5:40: ready at 5:46. */
export function opening(
  precinct = 'E-01',
  tabulators: readonly string[] = [`T-${precinct.slice(2)}`],
): Said[] {
  return [
    says(precinct, '05:40', 'TeamReported', { present: 8, missing: [] }),
    says(precinct, '05:41', 'StepCompleted', { step: 'ballots' }),
    ...['box', 'door'].map(container =>
      says(precinct, '05:42', 'SealRecorded', {
        container,
        found: `S-${precinct.slice(2)}-${container}`,
        state: 'intact',
      }),
    ),
    says(precinct, '05:43', 'StepCompleted', { step: 'box' }),
    says(precinct, '05:44', 'StepCompleted', { step: 'tabulator' }),
    ...tabulators.map(tabulator => says(precinct, '05:45', 'OpeningTapeVerified', { tabulator })),
    says(precinct, '05:46', 'StepCompleted', { step: 'roster' }),
  ]
}
