'use client'
import type { z } from 'zod'
import type { BoardRow } from '../../../server/domain/day/row.ts'
import { devicesAnswer } from '../../../server/protocol/answers.ts'
import { clockWords } from '../../live/clock.ts'
import { ask } from '../../setup/asking.ts'
import { useDesk } from '../deskContext.ts'

export type Device = z.output<typeof devicesAnswer>['devices'][number]

/** Asks which devices of a precinct have a key that is good, at the moment when it matters; a text: why it isn't known. */
export function useDevicesHere(code: string): () => Promise<Device[] | string> {
  const { day } = useDesk()
  return async () => {
    const path = `/days/${encodeURIComponent(day)}/devices?precinct=${encodeURIComponent(code)}`
    const answer = await ask(path, devicesAnswer)
    if (!answer.ok) return answer.problems.map(p => p.message).join(' ')
    return answer.value.devices.filter(d => d.revokedAt === null)
  }
}

/**
 * What a device is called among those of its precinct: its label, or when it was enrolled; what tells it from others of
 * the same; and of the one heard last when that was, and its battery.
 */
export function deviceNames(
  devices: readonly Device[],
  { device, heardAt }: Pick<BoardRow, 'device' | 'heardAt'>,
  timeZone: string,
): Map<string, string> {
  return new Map(
    devices.map(({ id, label, enrolledAt, replacedAt }) => {
      const alike = devices.filter(other => other.label === label).length > 1
      const name = label === '' ? 'a tablet without a name' : label
      const marks = [
        ...(alike ? [`number …${id.slice(-4)}`] : []),
        ...(alike || label === '' ? [`enrolled ${clockWords(enrolledAt, timeZone)}`] : []),
        ...(id === device?.id && heardAt !== null ? [`heard ${clockWords(heardAt, timeZone)}`] : []),
        ...(id === device?.id && device.battery !== null ? [`battery ${device.battery}%`] : []),
        ...(replacedAt === null ? [] : ['replaced']),
      ]
      return [id, marks.length === 0 ? name : `${name} (${marks.join(', ')})`]
    }),
  )
}
