'use client'
import { useMemo, useState } from 'react'
import type { DevicePlan } from '../../../server/protocol/device.ts'
import type { PageState } from '../pageState.ts'
import { closedNotices, keepClosed } from './keptHere.ts'
import { noticesNow } from './notices.ts'

export type Notices = { all: ReturnType<typeof noticesNow>; close(id: number): void }

/** The notices of the precinct that is shown. */
export function useNotices(plan: DevicePlan, page: Pick<PageState, 'noticesRead'>): Notices {
  const { day } = plan
  const { code } = plan.precinct
  const [closed, setClosed] = useState(() => closedNotices(day, code))
  const all = useMemo(() => noticesNow(plan, page.noticesRead, closed), [plan, page.noticesRead, closed])
  return {
    all,
    close(id) {
      const next = new Set([...closed, id])
      setClosed(next)
      keepClosed(day, code, next)
    },
  }
}
