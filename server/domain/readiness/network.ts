import { own } from '../day/bounded.ts'
import type { Instant } from '../time.ts'

/** A step of the plan, as far as readiness needs it. */
export type NetworkStep = {
  code: string
  phase: 'opening' | 'closing'
  after: readonly string[]
  /** Usual duration: half of the precincts are faster, one in ten slower than p90. */
  medianMinutes: number
  p90Minutes: number
}

/** The opening steps as a precedence network, in an order in which each comes after what it needs. */
export type Network = {
  order: readonly NetworkStep[]
  /** Minutes after reporting time at which each step is usually done: the longest path of medians to it. */
  usual: Readonly<Record<string, number>>
  /** Minutes after reporting time at which everything is usually done. */
  usualReady: number
}

const made = new WeakMap<readonly NetworkStep[], Network>()

/**
 * The network of a plan's opening steps. Made once for each list. The plan checker refuses circles and unknown
 * prerequisites; if one gets here all the same it is cut (what stands in it counts as having no prerequisite
 * left), never followed for ever.
 */
export function openingNetwork(steps: readonly NetworkStep[]): Network {
  const known = made.get(steps)
  if (known) return known
  const order = inOrder(steps.filter(s => s.phase === 'opening'))
  const usual: Record<string, number> = Object.create(null)
  let usualReady = 0
  for (const step of order) {
    let start = 0
    for (const before of step.after) start = Math.max(start, usual[before] ?? 0)
    const done = start + step.medianMinutes
    usual[step.code] = done
    usualReady = Math.max(usualReady, done)
  }
  const network = { order, usual, usualReady }
  made.set(steps, network)
  return network
}

/** Kahn's order; where a circle leaves nothing free, the first of the rest in plan order is taken. */
function inOrder(steps: readonly NetworkStep[]): NetworkStep[] {
  const rest = new Map(steps.map(s => [s.code, s]))
  const order: NetworkStep[] = []
  while (rest.size > 0) {
    let next: NetworkStep | undefined
    for (const step of rest.values()) {
      if (step.after.some(code => code !== step.code && rest.has(code))) continue
      next = step
      break
    }
    next ??= rest.values().next().value!
    rest.delete(next.code)
    order.push(next)
  }
  return order
}

/**
 * Steps done, and those implied by one that needs them, at that one's instant: nobody verifies a tape before the
 * tabulator runs, and a forgotten tap is not a late opening. The table has no names but codes of steps.
 * @param order the network's order
 */
export function withImplied(
  order: readonly NetworkStep[],
  done: Readonly<Record<string, Instant>>,
): Record<string, Instant> {
  const all: Record<string, Instant> = Object.create(null)
  for (let i = order.length - 1; i >= 0; i--) {
    const step = order[i]!
    const at = own(done, step.code) ?? all[step.code]
    if (at === undefined) continue
    all[step.code] = at
    for (const before of step.after) {
      if (own(done, before) !== undefined) continue
      all[before] = Math.min(all[before] ?? Number.POSITIVE_INFINITY, at)
    }
  }
  return all
}
