'use client'
import type { z } from 'zod'
import { devicesAnswer } from '../../../server/protocol/answers.ts'
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

/** What a device is called among those of its precinct: its label, and what tells it from others of the same. */
export function deviceNames(devices: readonly Device[], heardLast: string | null): Map<string, string> {
  return new Map(
    devices.map(({ id, label, replacedAt }) => {
      const alike = devices.filter(other => other.label === label).length > 1
      const name = label === '' ? 'a tablet without a name' : label
      const marks = [
        ...(alike ? [`number …${id.slice(-4)}`] : []),
        ...(devices.length > 1 && id === heardLast ? ['heard last'] : []),
        ...(replacedAt === null ? [] : ['replaced']),
      ]
      return [id, marks.length === 0 ? name : `${name} (${marks.join(', ')})`]
    }),
  )
}
