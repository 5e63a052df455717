import { HOUR } from './domain/time.ts'

const DAY = 24 * HOUR

/**
 * Which automatic backups stay. One that falls into no line of this table is removed, after a newer one was written.
 *
 * | stays | why |
 * |---|---|
 * | the newest 24 | two hours at one each five minutes: a slip is noticed within them |
 * | the last of each hour, for three days | election day, the night and the days after, when questions are asked |
 * | the last of each day, for two weeks | until the canvass has the log; and no longer, because words that were erased since stand in older copies |
 */
const KEEP = { newest: 24, hourlyFor: 3 * DAY, dailyFor: 14 * DAY } as const

const NAME = /^sunup-(\d{4}-\d\d-\d\d)T(\d\d)-(\d\d)-(\d\d)Z\.backup$/

/** `sunup-2026-11-03T14-05-00Z.backup`: wall time in UTC, to the second, without what some file systems refuse. */
export function backupName(at: number): string {
  return `sunup-${new Date(at).toISOString().slice(0, 19).replaceAll(':', '-')}Z.backup`
}

/** When an automatic backup was made; null: the name is none of ours, and the file is left alone. */
export function madeAtOf(name: string): number | null {
  const [, date, hours, minutes, seconds] = NAME.exec(name) ?? []
  const at = Date.parse(`${date}T${hours}:${minutes}:${seconds}Z`)
  return Number.isNaN(at) ? null : at
}

/** Names of a folder that may go, at this wall time. */
export function toRemove(names: readonly string[], now: number): string[] {
  const ours = names
    .map(name => ({ name, at: madeAtOf(name) }))
    .filter((file): file is { name: string; at: number } => file.at !== null)
    .sort((a, b) => b.at - a.at)
  const taken = new Set<string>()
  const isLastOf = (unit: number, at: number, within: number) => {
    if (now - at > within) return false
    const key = `${unit} ${Math.floor(at / unit)}`
    if (taken.has(key)) return false
    taken.add(key)
    return true
  }
  return ours
    .filter(({ at }, i) => {
      const hourly = isLastOf(HOUR, at, KEEP.hourlyFor)
      const daily = isLastOf(DAY, at, KEEP.dailyFor)
      return i >= KEEP.newest && !hourly && !daily
    })
    .map(({ name }) => name)
}
