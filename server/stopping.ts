import { Stop } from './progress.ts'

/** The house's stop: stage by stage, none longer than it may take, with one line for what was left. */
export type Stage = {
  /** For people, as what was not ended: "writing what waited". */
  what: string
  /** Milliseconds at most. */
  ms: number
  end(): Promise<unknown>
}

/**
 * What each stage may take, milliseconds. Together less than the half minute and more that service managers commonly
 * leave before they kill (common practice); an ordinary stop takes a second.
 */
export const STAGE_MS = {
  /** A backup breaks off between two pages of a thousand rows. */
  backups: 3_000,
  /** Simulated tablets get 3 s to end in order, then they are killed; a day that is being opened gets the rest. */
  practices: 6_000,
  /** Requests under way are cut off after 2 s. */
  callers: 3_000,
  /** One commit a running day. */
  days: 4_000,
  /** A full queue is two seconds of work on a small machine (db/log/queue.ts). */
  log: 6_000,
  pages: 2_000,
} as const
/** With the database away nothing can be written: what is waited for then are the simulated tablets' 3 s. */
const AWAY_MS = 3_500
const LOOK_MS = 50
const sleep = (ms: number) => new Promise<void>(resolve => setTimeout(resolve, ms))

/**
 * Ends one stage after the other. One that takes too long is left behind, one that fails is told; the next is ended
 * all the same.
 *
 * @returns what was not ended
 */
export async function inStages(
  stages: readonly Stage[],
  isAway: () => boolean,
  onTrouble: (error: unknown) => void,
): Promise<string[]> {
  const left: string[] = []
  for (const { what, ms, end } of stages) {
    const state = { over: false, ended: false }
    const ending = end()
      .then(() => {
        state.ended = true
      }, onTrouble)
      .finally(() => {
        state.over = true
      })
    const from = performance.now()
    const late = () => performance.now() - from > (isAway() ? Math.min(ms, AWAY_MS) : ms)
    while (!state.over && !late()) await Promise.race([ending, sleep(LOOK_MS)])
    if (!state.ended) left.push(what)
  }
  return left
}

/** Nothing acknowledged can be missing: P1 is kept by acknowledging after the commit, not by how we stop. */
const KEPT =
  'Nothing that was acknowledged is missing: that is said only of what is written. Devices keep the rest and send it again.'

/**
 * The line of a stop that left something behind; null: it left nothing.
 *
 * @param awayMs for how long the database has been away, milliseconds; null: it answers
 * @param waiting reports and entries that waited to be written when the stop began
 */
export function leftBehind(awayMs: number | null, waiting: number, left: readonly string[]): Stop | null {
  if (awayMs !== null) {
    const waited = waiting === 0 ? '' : `${waiting} reports and entries that waited, `
    return new Stop(
      `Stopped while the database was away, for ${Math.round(awayMs / 1_000)} s. Not written: ${waited}who was heard last, and where a practice clock stood. ${KEPT}`,
    )
  }
  return left.length === 0 ? null : new Stop(`Stopped without an orderly end of: ${left.join(', ')}. ${KEPT}`)
}
