import type { Instant } from '../domain/time.ts'

/** One tick after another while a day runs; a tick that fails is told, and an outage that it showed is made up for. */
export type Ticking = {
  begin(): void
  /** No more ticks; resolves when the one under way is over. */
  end(): Promise<void>
}

export function createTicking(deps: {
  tick(): Promise<void>
  /** Our own outage, from when the day was last judged, is over. */
  resumed(lastKnownAt: Instant): Promise<void>
  /** Milliseconds between ticks. */
  everyMs(): number
  now(): Instant
  wall(): number
  /** Ticks failed for longer than this, in milliseconds: an outage of our own. */
  outageMs: number
  onTick(ms: number): void
  onTrouble(error: unknown): void
}): Ticking {
  let runs = false
  let timer: NodeJS.Timeout | null = null
  let underWay: Promise<void> = Promise.resolve()
  let trouble: { since: number; at: Instant } | null = null

  async function judge() {
    const from = performance.now()
    try {
      await deps.tick()
      if (trouble && deps.wall() - trouble.since > deps.outageMs) await deps.resumed(trouble.at)
      trouble = null
      deps.onTick(performance.now() - from)
    } catch (error) {
      trouble ??= { since: deps.wall(), at: deps.now() }
      deps.onTrouble(error)
    }
  }

  function next() {
    timer = null
    underWay = judge().then(() => {
      if (runs) timer = setTimeout(next, deps.everyMs())
    })
  }

  return {
    begin() {
      runs = true
      timer = setTimeout(next, deps.everyMs())
    },
    async end() {
      runs = false
      if (timer) clearTimeout(timer)
      await underWay
    },
  }
}
