import { answeredDevice } from '../log/aside.ts'
import type { Entry } from '../log/entry.ts'
import { own, put } from './bounded.ts'
import type { PrecinctState } from './state.ts'

/** Reports of a precinct's devices that wait for the desk's answer: how many, in the order of the log. */

export function keptAside(p: PrecinctState, { body, occurredAt }: Entry<'ReportsKeptAside'>) {
  const before = own(p.keptAside, body.device)
  const howMany = (before?.howMany ?? 0) + body.howMany
  p.keptAside = put(p.keptAside, body.device, { howMany, since: before?.since ?? occurredAt }, () => false)
}

/** One of them was accepted or left. What was kept before the log said so was never counted: it takes nothing away. */
export function asideAnswered(p: PrecinctState, source: string) {
  const device = answeredDevice(source)
  const before = device === null ? undefined : own(p.keptAside, device)
  if (device === null || before === undefined) return
  const { [device]: _, ...others } = p.keptAside
  p.keptAside =
    before.howMany > 1 ? { ...others, [device]: { ...before, howMany: before.howMany - 1 } } : others
}
