import type { HeartbeatRequest } from '../protocol/device.ts'
import { happenedText, type Sending } from './times.ts'

type Said = Pick<HeartbeatRequest, 'status' | 'counts' | 'device'>
type Dated = { is: unknown; asOf: string }

/**
 * What a heartbeat says that the one before did not: only that is written. Compared as sent (asOf by the
 * device's own clock), so a repeated figure with its old asOf is never new and never freshened.
 *
 * A device's battery counts as news by the tenth and its waiting reports as none or some: else each percent
 * would be an entry.
 */
export function newsOf(now: Said, before: Said | undefined): Said | null {
  const news: Said = {}
  const status = changedParts(
    now.status as Record<string, Dated> | undefined,
    before?.status as Record<string, Dated> | undefined,
  )
  if (status) news.status = status as Said['status']
  const { publicCount, ...single } = (now.counts ?? {}) as Record<string, Dated> & {
    publicCount?: Record<string, Dated>
  }
  const { publicCount: publicBefore, ...singleBefore } = (before?.counts ?? {}) as Record<string, Dated> & {
    publicCount?: Record<string, Dated>
  }
  const counts = changedParts(single, singleBefore)
  const publicNews = changedParts(publicCount, publicBefore)
  if (counts || publicNews)
    news.counts = { ...counts, ...(publicNews ? { publicCount: publicNews } : {}) } as Said['counts']
  if (now.device && deviceBand(now.device) !== (before?.device ? deviceBand(before.device) : ''))
    news.device = now.device
  return news.status || news.counts || news.device ? news : null
}

function changedParts(now: Record<string, Dated> | undefined, before: Record<string, Dated> | undefined) {
  let changed: Record<string, Dated> | undefined
  for (const [name, part] of Object.entries(now ?? {})) {
    const old = before?.[name]
    if (old && JSON.stringify(old) === JSON.stringify(part)) continue
    changed ??= {}
    changed[name] = part
  }
  return changed
}

function deviceBand(device: NonNullable<Said['device']>): string {
  const tenth = device.battery === undefined ? '' : Math.floor(device.battery / 10)
  return `${tenth}|${device.charging ?? ''}|${(device.waiting ?? 0) > 0}`
}

/** The news with every asOf in day time, as it goes to the log. */
export function datedNews(news: Said, recordedAt: number, sending: Sending): Said {
  const dated = <T extends Dated>(part: T): T => ({
    ...part,
    asOf: happenedText(part.asOf, recordedAt, sending),
  })
  const all = (parts: Record<string, Dated>) =>
    Object.fromEntries(Object.entries(parts).map(([k, p]) => [k, dated(p)]))
  const out: Record<string, unknown> = {}
  if (news.status) out.status = all(news.status as Record<string, Dated>)
  if (news.counts) {
    const { publicCount, ...single } = news.counts as Record<string, Dated> & {
      publicCount?: Record<string, Dated>
    }
    out.counts = { ...all(single), ...(publicCount ? { publicCount: all(publicCount) } : {}) }
  }
  if (news.device) out.device = news.device
  return out as Said
}
