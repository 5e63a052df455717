import type { DayState } from '../day/state.ts'
import type { PlanIndex } from '../plan/brief.ts'
import type { Policy } from '../plan/policy.ts'
import type { Instant } from '../time.ts'
import { silentAt, unheardFor } from './silence.ts'

/** Fewer devices than this say nothing about a common cause. */
const FEWEST = 3
/** Our own link counts as back when the missing share is under this part of the share that raised it. */
const OFF = 0.75
/** Heartbeats with nothing new reach the log in a list once a minute: this much later than they were heard. */
const LIST_SECONDS = 60

export type OwnLink = {
  /** The share of devices that policy asks is missing, and one of them is silent. */
  broken: boolean
  /** Still so many missing that a standing reason stays (hysteresis). */
  stillBroken: boolean
  /** Predicted instant at which it began to be so; null where it isn't. */
  since: Instant | null
  missing: number
  of: number
}

/**
 * Seconds unheard after which a device is missing for this rule: it will be silent within one heartbeat period
 * (and the list's minute). Devices of one broken link don't fall silent in one instant: their last heartbeats
 * lie up to a period apart.
 */
function missingAfterSeconds({ periodSeconds, lateAfterSeconds, silentAfterSeconds }: Policy['heartbeat']) {
  const nearly = Math.max(lateAfterSeconds, silentAfterSeconds - periodSeconds - LIST_SECONDS)
  return Math.min(nearly, silentAfterSeconds)
}

/**
 * Whether our own link is what is broken: asked as soon as one device is silent, of all that are missing. So our
 * own link is the first reason, and no single precinct is blamed before it.
 */
export function ownLink(state: DayState, index: PlanIndex, now: Instant): OwnLink {
  const { heartbeat } = index.plan.policy
  const seconds = missingAfterSeconds(heartbeat)
  // A standing reason ends by hearing; a new grace proves nothing about the link.
  const graceUntil = state.reasons['own-link'] ? 0 : state.graceUntil
  const missingSince: Instant[] = []
  let firstSilent = Number.POSITIVE_INFINITY
  let of = 0
  for (const p of state.precincts.values()) {
    const from = unheardFor(p, index, graceUntil, seconds)
    if (from === null) continue
    of++
    if (from <= now) missingSince.push(from)
    firstSilent = Math.min(firstSilent, silentAt(p, index, graceUntil)!)
  }
  const missing = missingSince.length
  const wanted = Math.ceil(heartbeat.ownLinkShare * of)
  const broken = of >= FEWEST && missing >= wanted && firstSilent <= now
  const stillBroken = of >= FEWEST && missing >= wanted * OFF
  const since = broken
    ? Math.max(missingSince.sort((a, b) => a - b)[wanted - 1] as Instant, firstSilent)
    : null
  return { broken, stillBroken, since, missing, of }
}
