import type { HeartbeatRequest } from '../../server/protocol/device.ts'
import type { Said } from './deviceSaid.ts'

export type Battery = { percent: number; charging: boolean }

/**
 * What a heartbeat says: the status and counts that this device said last, each with its own asOf, never
 * freshened by being repeated, and the device's own state.
 *
 * @param down Tags of all equipment known to be down here (the office's knowledge with what was said since),
 *   since the list replaces the one before. It is sent only where this device itself spoke of equipment.
 * @param waiting Reports in the outbox.
 */
export function heartbeatOf(
  said: Said,
  down: readonly string[],
  waiting: number,
  battery: Battery | null,
): Omit<HeartbeatRequest, 'sentAt'> {
  const status: NonNullable<HeartbeatRequest['status']> = {}
  if (said.polls) status.polls = { is: said.polls.is, asOf: said.polls.at }
  const tape = latest(
    Object.entries(said.tapes).map(([tabulator, t]) => ({ tabulator, is: t.is.is, asOf: t.at })),
  )
  if (tape) status.tape = tape
  const equipment = latest(Object.values(said.equipment).map(e => ({ asOf: e.at })))
  if (equipment) status.equipmentDown = { is: [...down].sort().slice(0, 20), asOf: equipment.asOf }
  if (said.slot) status.slot = { is: said.slot.is, asOf: said.slot.at }
  if (said.departed) status.returns = { is: 'on-its-way', asOf: said.departed.at }

  const counts: NonNullable<HeartbeatRequest['counts']> = {}
  for (const [name, value] of Object.entries(said.counts))
    counts[name as keyof typeof said.counts] = { is: value.is, asOf: value.at }
  const publicCount = Object.entries(said.publicCount).map(
    ([tag, v]) => [tag, { is: v.is, asOf: v.at }] as const,
  )
  if (publicCount.length > 0) counts.publicCount = Object.fromEntries(publicCount)

  return {
    ...(Object.keys(status).length > 0 ? { status } : {}),
    ...(Object.keys(counts).length > 0 ? { counts } : {}),
    device: {
      waiting: Math.min(waiting, 5_000),
      ...(battery ? { battery: battery.percent, charging: battery.charging } : {}),
    },
  }
}

function latest<T extends { asOf: string }>(list: T[]): T | null {
  return list.reduce<T | null>(
    (best, x) => (best && Date.parse(best.asOf) > Date.parse(x.asOf) ? best : x),
    null,
  )
}
