'use client'
import type { NoticesAnswer } from '../../../server/protocol/notices.ts'
import { useBoard } from '../../live/useBoard.ts'
import { useDesk } from '../deskContext.ts'
import { useAsked } from '../useAsked.ts'

/** Today's notices with their words, latest first; asked for when one is sent, and not where there is none. */
export function useNotices() {
  const { day } = useDesk()
  const latest = useBoard(s => s.notices.at(-1)?.position ?? 0)
  return useAsked<NoticesAnswer>(latest > 0 ? noticesPath(day) : null, latest)
}

export const noticesPath = (day: string) => `/api/v1/days/${encodeURIComponent(day)}/notices`
