'use client'
import { useState } from 'react'
import type { DevicePlan } from '../../server/protocol/device.ts'
import type { PageState } from './pageState.ts'
import { countDue, slotReminder, type Times } from './reminders.ts'
import { slotNow } from './slotNow.ts'
import { useWords } from './words/WordsContext.tsx'

const SLOT_SCREEN = {
  open: 'flow/slot-opened',
  'keep-open': '',
  lock: 'flow/slot-locked',
  feed: 'flow/slot-fed',
}
const COUNTS_SCREEN = 'flow/counts'

type Props = { plan: DevicePlan; page: PageState; times: Times; screen: string; go(screen: string): void }

/**
 * What must be thought of now, in the head of every screen: the slot at each of its intervals until somebody looked,
 * and the count that is due; the start shows that one itself.
 */
export function Reminders({ plan, page, times, screen, go }: Props) {
  const { reminders: W } = useWords()
  const [looked, setLooked] = useState<number | null>(null)
  const slot = slotReminder(plan, page, times)
  const due = countDue(plan, page, times)
  const slotScreen = SLOT_SCREEN[slotNow(plan, page)?.does ?? 'keep-open']
  return (
    <>
      {slot !== null && slot !== looked && !screen.startsWith('flow/slot') && (
        <button
          type="button"
          className="pp-link"
          onClick={() => {
            setLooked(slot)
            go(slotScreen)
          }}
        >
          {W.slot}
        </button>
      )}
      {due !== null && screen !== '' && screen !== COUNTS_SCREEN && (
        <button type="button" className="pp-link" onClick={() => go(COUNTS_SCREEN)}>
          {W.counts(times.time(due))}
        </button>
      )}
    </>
  )
}
