import { custodyOf } from '../domain/custody/custody.ts'
import type { DayState } from '../domain/day/state.ts'
import type { PlanIndex } from '../domain/plan/brief.ts'
import { toRfc3339 } from '../domain/time.ts'
import type { CustodyAnswer } from '../protocol/custody.ts'

export type CustodyOf = { index: PlanIndex; state(): DayState }

/** Every seal of a precinct's containers, from the morning on. null: there is no such precinct. */
export function custodyAnswer(day: CustodyOf, code: string): CustodyAnswer | null {
  const planned = day.index.precincts.get(code)
  const p = day.state().precincts.get(code)
  if (!planned || !p) return null
  return {
    precinct: code,
    opened: p.openedAt !== null,
    containers: custodyOf(p, planned).map(({ container, links, gaps, wrong, openSince }) => ({
      container,
      planned: planned.seals.get(container) ?? null,
      when: whenOf(planned.openingSeals, planned.seals.has(container), container),
      links: links.map(link => ({ ...link, at: toRfc3339(link.at), gaps: [...link.gaps] })),
      gaps: [...gaps],
      wrong: wrong !== null,
      openSince: openSince === null ? null : toRfc3339(openSince),
    })),
  }
}

function whenOf(
  morning: readonly string[],
  isPlanned: boolean,
  container: string,
): 'morning' | 'evening' | null {
  if (!isPlanned) return null
  return morning.includes(container) ? 'morning' : 'evening'
}
