import type { Device } from './access/access.ts'
import type { DayLogWriter } from './domain/log/dayLog.ts'
import { systemEntry } from './live/evaluator.ts'

/** Notes an enrolment in the log of a running day, with the device whose place it took. A day that doesn't run: nothing. */
export async function noteEnrolled(
  deps: { log: Pick<DayLogWriter, 'decide'>; dayOf(day: string): { closed(): boolean } | null },
  { id, day, precinct }: Device,
  replaced: string | null,
): Promise<void> {
  const body = { device: id, ...(replaced === null ? {} : { replaces: replaced }) }
  await deps.log.decide(day, now => ({
    // It may have been closed while this waited for the log.
    entries: deps.dayOf(day)?.closed() ? [] : [systemEntry('DeviceEnrolled', now, body, precinct)],
    result: null,
  }))
}
