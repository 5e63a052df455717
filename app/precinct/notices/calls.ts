import type { DevicePlan } from '../../../server/protocol/device.ts'
import type { PageState } from '../pageState.ts'
import { countDue, slotReminder, type Times } from '../reminders.ts'
import type { Notices } from './useNotices.ts'

/** What calls for attention now, each by a name that changes when it calls anew. */
export function callsNow(
  plan: DevicePlan,
  page: PageState,
  notices: Notices['all'],
  times: Pick<Times, 'now' | 'dayOf'>,
): string[] {
  const due = countDue(plan, page, times)
  const slot = slotReminder(plan, page, times)
  return [
    ...(due === null ? [] : [`count ${due}`]),
    ...(slot === null ? [] : [`slot ${slot}`]),
    ...notices.filter(n => n.fresh).map(n => `notice ${n.id}`),
  ]
}
