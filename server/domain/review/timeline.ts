import { isVerdict } from '../day/fold.ts'
import type { Entry } from '../log/entry.ts'
import { QUARTER } from '../plan/brief.ts'
import type { RuleName, Tier } from '../plan/policy.ts'
import type { Instant } from '../time.ts'

/**
 * When each entry of a day's log was recorded and when it happened, so that a replay knows which entries an
 * instant asks for without reading them: 16 bytes an entry. And what the slider's ticks are made of.
 */
export type Timeline = {
  /** Entries known here: positions 1 to length. */
  length(): number
  /** Entries in the log's order, each once. */
  add(entry: Entry): void
  recordedAt(position: number): Instant
  /** As known: how many of the first entries were recorded by an instant. */
  knownBy(at: Instant): number
  /**
   * As happened: the longest beginning of the log of which all had happened by then, and the positions after it
   * that had happened too, ascending. Verdicts of the system are left aside: they stand in the beginning, where
   * the fold passes them over, and never among the late ones.
   */
  happenedBy(at: Instant): { first: number; late: number[] }
  /** Entries recorded in each quarter hour that has any: its first instant and how many. */
  quarters(): Array<{ from: Instant; entries: number }>
  /** Reasons of the tiers stop and now at their first raising, in order; the first REASONS_MARKED of them. */
  reasons(): readonly ReasonMark[]
  /** Such reasons beyond those that are kept. */
  reasonsLeftOut(): number
}

type ReasonMark = {
  at: Instant
  position: number
  tier: Extract<Tier, 'stop' | 'now'>
  rule: RuleName
  precinct: string | null
}

/** A slider of a thousand pixels shows no more; the log keeps all. */
export const REASONS_MARKED = 2_000

export function makeTimeline(): Timeline {
  let recorded = new Float64Array(4_096)
  /** NaN where the entry is a verdict: it compares with no instant. */
  let happened = new Float64Array(4_096)
  let length = 0
  const quarters = new Map<number, number>()
  const reasons: ReasonMark[] = []
  let leftOut = 0
  const standing = new Set<string>()

  function grow() {
    const [r, h] = [new Float64Array(length * 2), new Float64Array(length * 2)]
    r.set(recorded)
    h.set(happened)
    recorded = r
    happened = h
  }

  function noteReason(entry: Entry) {
    if (entry.kind === 'ReasonEnded') standing.delete(entry.body.key)
    if (entry.kind !== 'ReasonRaised') return
    const { key, rule, tier } = entry.body
    if (standing.has(key)) return
    standing.add(key)
    if (tier !== 'stop' && tier !== 'now') return
    if (reasons.length === REASONS_MARKED) leftOut += 1
    else
      reasons.push({
        at: entry.recordedAt,
        position: entry.position,
        tier,
        rule,
        precinct: entry.precinct,
      })
  }

  return {
    length: () => length,
    add(entry) {
      if (entry.position !== length + 1)
        throw new Error(`entry ${entry.position} came after entry ${length}: they are wanted in order`)
      if (length === recorded.length) grow()
      recorded[length] = entry.recordedAt
      happened[length] = isVerdict(entry) ? Number.NaN : entry.occurredAt
      length += 1
      const quarter = Math.floor(entry.recordedAt / QUARTER)
      quarters.set(quarter, (quarters.get(quarter) ?? 0) + 1)
      noteReason(entry)
    },
    recordedAt: position => recorded[position - 1]!,
    knownBy(at) {
      let [low, high] = [0, length]
      while (low < high) {
        const middle = (low + high) >> 1
        if (recorded[middle]! <= at) low = middle + 1
        else high = middle
      }
      return low
    },
    happenedBy(at) {
      let first = 0
      while (first < length && !(happened[first]! > at)) first += 1
      const late: number[] = []
      for (let i = first; i < length; i++) if (happened[i]! <= at) late.push(i + 1)
      return { first, late }
    },
    quarters: () =>
      [...quarters]
        .sort((a, b) => a[0] - b[0])
        .map(([quarter, entries]) => ({ from: quarter * QUARTER, entries })),
    reasons: () => reasons,
    reasonsLeftOut: () => leftOut,
  }
}
