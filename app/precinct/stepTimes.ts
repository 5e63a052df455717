import type { DevicePlan } from '../../server/protocol/device.ts'
import { foldSaid, saidAtAll } from '../live/deviceSaid.ts'
import type { KeptReport } from '../live/outboxStore.ts'

/**
 * When steps were done, as this device said it, by step: RFC 3339, device clock. A step that follows from several
 * reports was done at the last of them; one that somebody else said has no time here.
 */
export function stepTimes(
  plan: DevicePlan,
  reports: readonly KeptReport[],
): Readonly<Record<string, string>> {
  const own = foldSaid(saidAtAll(reports))
  const seals = Object.entries(own.seals).flatMap(([c, s]) => (plan.containers.includes(c) ? [s.at] : []))
  const tapes = Object.values(own.tapes).map(t => t.at)
  const times: Record<string, string> = {}
  for (const step of plan.steps) {
    const closing = step.phase === 'closing'
    const at =
      own.steps[step.code] ??
      (step.completedBy === 'team'
        ? own.team?.at
        : step.completedBy === 'seals'
          ? last(seals)
          : step.completedBy === 'tape'
            ? last(closing ? Object.values(own.closingTapes) : tapes)
            : undefined)
    if (at !== undefined) times[step.code] = at
  }
  return times
}

function last(times: readonly string[]): string | undefined {
  return [...times].sort((a, b) => Date.parse(a) - Date.parse(b)).at(-1)
}
