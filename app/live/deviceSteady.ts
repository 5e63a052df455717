import { fromRfc3339, HOUR, type Instant, SECOND, toRfc3339 } from '../../server/domain/time.ts'

/**
 * Clocks of tablets are set while they are in use: by hand, by the network, after a flat battery. A report's time is
 * measured from `at` to `sentAt` by the tablet's clock (server/intake/times.ts), so a clock that was set in between
 * would misdate it (P7). Here `at` is brought to the clock as it runs when the report is sent.
 *
 * What tells that the clock was set: the browser's steady clock (`performance.now`), which nobody sets, but which may
 * stand while the tablet sleeps; and the office's own time, each time the office is heard.
 */
export type Reading = {
  /** By the tablet's clock, ms. */
  wall: number
  /** Milliseconds since this page was opened, by the steady clock. */
  mono: number
}

/** What is kept beside a report. */
export type Stamp = {
  /** The opening of the page that it was said in. */
  life: string
  mono: number
  /** The office had been heard in that same life: the report's day time was worked out from it. */
  sure: boolean
}

type Gap = {
  /** Seen at this reading of the steady clock. */
  mono: number
  /** The tablet's clock went on by so many ms more than the steady one. */
  by: number
  /** It was set. Else: it was set forward, or the tablet slept; the office's time will tell. */
  set: boolean
}

export type Trail = {
  life: string
  last: Reading
  gaps: readonly Gap[]
  contact: (Reading & { day: Instant }) | null
}

/** Below this a difference is the clocks' own unevenness. */
const UNEVEN = 2 * SECOND
/** Nobody lets a tablet sleep longer on an election day. */
const LONGEST_SLEEP = 24 * HOUR
/** The office's time as it arrives here is as late as the network is slow. */
const LATE = 20 * SECOND

export function newTrail(life: string, now: Reading): Trail {
  return { life, last: now, gaps: [], contact: null }
}

/** Notes where the two clocks have parted since the last look. A clock that went back was set. */
export function lookAt(trail: Trail, now: Reading): Trail {
  const by = now.wall - trail.last.wall - (now.mono - trail.last.mono)
  if (Math.abs(by) < UNEVEN) return { ...trail, last: now }
  const gap = { mono: now.mono, by, set: by < 0 || by > LONGEST_SLEEP }
  return { ...trail, last: now, gaps: [...trail.gaps, gap] }
}

/**
 * The office said its day time, which runs at the wall's speed. Since it was last heard as much time has passed as
 * its own clock shows; what the tablet's clock shows beyond that was set, and the rest was sleep.
 */
export function heardAt(before: Trail, day: Instant, now: Reading): Trail {
  const trail = lookAt(before, now)
  const contact = { ...now, day }
  const { contact: last } = trail
  if (!last) return { ...trail, contact }
  const since = trail.gaps.filter(gap => gap.mono > last.mono)
  const unexplained =
    now.wall - last.wall - (day - last.day) - since.reduce((sum, gap) => sum + (gap.set ? gap.by : 0), 0)
  const open = since.filter(gap => !gap.set)
  // Sleep is never negative: of the gaps that are large enough, the one that fits best.
  const fits = open.filter(gap => gap.by > unexplained - LATE)
  const setAt =
    unexplained > LATE
      ? fits.sort((a, b) => Math.abs(a.by - unexplained) - Math.abs(b.by - unexplained))[0]
      : undefined
  const gaps = trail.gaps.flatMap(gap => {
    if (gap === setAt) return [{ ...gap, by: unexplained, set: true }]
    return open.includes(gap) ? [] : [gap]
  })
  return { ...trail, contact, gaps }
}

/** By how many ms the clock was set since a reading of the steady clock, as far as is known. */
export function setSince(trail: Trail, mono: number): number {
  return trail.gaps.reduce((sum, gap) => sum + (gap.set && gap.mono > mono ? gap.by : 0), 0)
}

/** Whether the office should be heard before anything is sent: it can tell sleep from a clock that was set. */
export function isOpenQuestion(trail: Trail): boolean {
  return trail.gaps.some(gap => !gap.set)
}

/**
 * When a report was said, by the clock as it runs now, ms.
 *
 * @param dayAt Day time that the page showed when it was said. Of an earlier life it is what counts, where it was
 *   worked out from the office's own time and the tablet's clock disagrees with it.
 */
export function saidAt(trail: Trail, at: number, stamp: Stamp | undefined, dayAt: Instant | null): number {
  if (!stamp) return at
  if (stamp.life === trail.life) return at + setSince(trail, stamp.mono)
  const { contact } = trail
  if (!contact || !stamp.sure || dayAt === null) return at
  const byOffice = contact.wall + setSince(trail, contact.mono) + (dayAt - contact.day)
  return Math.abs(byOffice - at) > LATE ? byOffice : at
}

/** A report with its time, and the time that stands in its body, by the clock as it runs now. */
export function datedNow<
  T extends { at: string; dayAt: Instant | null; body: Record<string, unknown>; stamp?: Stamp },
>(trail: Trail, report: T): T {
  const at = fromRfc3339(report.at)
  const by = Math.round(saidAt(trail, at, report.stamp, report.dayAt) - at)
  if (by === 0 || !Number.isSafeInteger(at + by)) return report
  const { asOf } = report.body
  const body = typeof asOf === 'string' ? { ...report.body, asOf: moved(asOf, by) } : report.body
  return { ...report, at: moved(report.at, by), body }
}

function moved(at: string, by: number): string {
  return toRfc3339(fromRfc3339(at) + by)
}
