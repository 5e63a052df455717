/** Backoff after no answer, in ms: doubles from the first to the last, each time between half and whole. */
const RETRY = { firstWait: 1_000, lastWait: 30_000 } as const

export type Retry = {
  isPlanned(): boolean
  /** Tries again after so many ms, and not at the time that was planned before. */
  in(ms: number): void
  /** 1 s, 2 s, 4 s … 30 s, each between half and whole so that a county doesn't come at once. */
  backOff(): void
  /** There was an answer: the next backoff begins anew. */
  answered(): void
  cancel(): void
}

/** The one planned attempt of an outbox. `onPlan` gets its wall time; null: none is planned. */
export function createRetry(
  clock: { now(): number; after(ms: number, then: () => void): () => void },
  random: () => number,
  onPlan: (at: number | null) => void,
  attempt: () => void,
): Retry {
  let failures = 0
  let cancel: (() => void) | null = null

  function planIn(ms: number) {
    cancel?.()
    onPlan(clock.now() + ms)
    cancel = clock.after(ms, () => {
      cancel = null
      onPlan(null)
      attempt()
    })
  }

  return {
    isPlanned: () => cancel !== null,
    in: planIn,
    backOff() {
      const whole = Math.min(RETRY.lastWait, RETRY.firstWait * 2 ** failures)
      failures += 1
      planIn(whole / 2 + (random() * whole) / 2)
    },
    answered() {
      failures = 0
    },
    cancel() {
      cancel?.()
      cancel = null
    },
  }
}
