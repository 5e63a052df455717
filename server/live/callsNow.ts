import { callList, callsHoldUntil } from '../domain/day/callList.ts'
import type { CallLine } from '../domain/day/row.ts'
import type { DayState } from '../domain/day/state.ts'
import type { PlanIndex } from '../domain/plan/brief.ts'
import type { Instant } from '../domain/time.ts'

/** The call list of a running day, made anew where it may have changed; the same list where nothing did. */
export type CallsNow = {
  /** Whether it is another list than before. */
  refresh(): boolean
  list(): CallLine[]
}

export function createCallsNow(deps: { state: DayState; index: PlanIndex; now(): Instant }): CallsNow {
  const { state, index } = deps
  let calls: CallLine[] = []
  let text = '[]'
  let holds = { cursor: -1, until: Number.NEGATIVE_INFINITY }

  /** The list changes with an entry, or where a line's time of stepping back is over. */
  function refresh(): boolean {
    const now = deps.now()
    if (holds.cursor === state.cursor && now < holds.until) return false
    holds = { cursor: state.cursor, until: callsHoldUntil(state, now) }
    const list = callList(state, index, now)
    const made = JSON.stringify(list)
    if (made === text) return false
    calls = list
    text = made
    return true
  }

  return {
    refresh,
    list: () => {
      refresh()
      return calls
    },
  }
}
