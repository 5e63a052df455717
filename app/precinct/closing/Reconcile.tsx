'use client'
import { useRef, useState } from 'react'
import type { CountsAtClose } from '../../../server/domain/reconcile/close.ts'
import type { SayOutcome } from '../../live/outbox.ts'
import { Conversation } from '../asking/Conversation.tsx'
import type { Around, ToSay } from '../asking/question.ts'
import { reconciled } from '../flows/reconciled.ts'
import { Frame } from '../Lists.tsx'
import { slotHolds } from '../slotNow.ts'
import { useWords } from '../words/WordsContext.tsx'
import { Sheet } from './Sheet.tsx'

/** What is typed and not said yet; it outlasts a visit to another screen. */
export type ReconcileDraft = {
  typed: Readonly<Record<string, string>>
  /** Ballots lie in the slot, and they go on all the same. */
  anyway: boolean
}
export const NO_DRAFT: ReconcileDraft = { typed: {}, anyway: false }

type Props = {
  around: Around
  draft: ReconcileDraft
  setDraft(draft: ReconcileDraft): void
  say(report: ToSay): Promise<SayOutcome>
  leave(): void
  go(screen: string): void
  allHeard: boolean
  aside?: boolean
}

/** First the slot's ballots, then the sheet, then what explains a difference and who compared. Nobody is locked out. */
export function Reconcile({ around, draft, setDraft, say, leave, go, allHeard, aside }: Props) {
  const { plan, page } = around
  /** As it stood when the sheet was done: the report itself doesn't change the question that led to it. */
  const [done, setDone] = useState<{ counts: CountsAtClose; holds: boolean } | null>(null)
  const said = useRef(false)
  const holds = slotHolds(plan, page)

  if (done)
    return (
      <Conversation
        flow={reconciled(done.counts, done.holds)}
        around={around}
        say={async report => {
          const outcome = await say(report)
          said.current ||= outcome.ok
          return outcome
        }}
        leave={() => (said.current ? leave() : setDone(null))}
        go={go}
        allHeard={allHeard}
        aside={aside}
      />
    )
  if (holds && !draft.anyway)
    return (
      <SlotFirst around={around} leave={leave} go={go} goOn={() => setDraft({ ...draft, anyway: true })} />
    )
  return (
    <Sheet
      plan={plan}
      page={page}
      typed={draft.typed}
      setTyped={typed => setDraft({ ...draft, typed })}
      leave={leave}
      done={counts => setDone({ counts, holds })}
    />
  )
}

type SlotProps = Pick<Props, 'around' | 'leave' | 'go'> & { goOn(): void }

function SlotFirst({ around: { page }, leave, go, goOn }: SlotProps) {
  const { reconcile: W } = useWords()
  const waits = page.inSlot ?? 0
  return (
    <Frame title={waits > 0 ? W.slotFirst(waits) : W.slotOpen} lead={W.slotHelp} leave={leave}>
      {page.slotOpen && (
        <button type="button" className="pp-go" onClick={() => go('flow/slot-locked')}>
          {W.toLock}
        </button>
      )}
      {waits > 0 && (
        <button type="button" className="pp-go" onClick={() => go('flow/slot-fed')}>
          {W.toSlot}
        </button>
      )}
      <button type="button" className="pp-quiet" onClick={goOn}>
        {W.goOn}
      </button>
    </Frame>
  )
}
