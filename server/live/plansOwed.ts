import { deviceThatSaid } from '../domain/day/heard.ts'
import type { Entry } from '../domain/log/entry.ts'
import { isPrecinctKind } from '../domain/log/kinds.ts'

/** Precincts whose devices are owed their plan anew; `writer`: the one device that needs none, since it said it all. */
export type PlanOwed = { precinct: string; writer: string | null }

export type PlansOwed = {
  /** What a precinct's plan is made of was said: its devices need it, but not the one that said it. */
  said(entry: Entry): void
  /** All devices of a precinct need it. */
  owe(precinct: string): void
  /** Since the last call. */
  take(): PlanOwed[]
}

export function createPlansOwed(): PlansOwed {
  let owed = new Map<string, string | null>()
  const note = (precinct: string, writer: string | null) => {
    const before = owed.get(precinct)
    owed.set(precinct, before === undefined || before === writer ? writer : null)
  }
  return {
    said: entry => {
      if (entry.precinct !== null && isPrecinctKind(entry.kind)) note(entry.precinct, deviceThatSaid(entry))
    },
    owe: precinct => note(precinct, null),
    take: () => {
      const list = [...owed].map(([precinct, writer]) => ({ precinct, writer }))
      owed = new Map()
      return list
    },
  }
}
