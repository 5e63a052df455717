import type { Device } from '../access/access.ts'
import { checkPrecinctReport, partDetail } from '../domain/log/check.ts'
import type { NewEntry, Offered, Problems } from '../domain/log/dayLog.ts'
import type { Draft, Origin } from '../domain/log/entry.ts'
import { fingerprint } from '../domain/log/fingerprint.ts'
import { kinds } from '../domain/log/kinds.ts'
import { LIMITS, type ReportEnvelope } from '../protocol/device.ts'
import { happenedAt, happenedText, type Sending } from './times.ts'

/** The name under which a device's numbers count in the log. */
export function sourceOf(device: Device): string {
  return `device:${device.id}`
}

/** One report of a device as the log takes it: fit, with all its times converted under the lock, or refused. */
export function offer(device: Device, report: ReportEnvelope, sending: Sending, skew: number): Offered {
  const content = fingerprint(report.at, report.kind, report.body)
  const sent = JSON.stringify(report)
  if (sent.length > LIMITS.reportBytes)
    return { number: report.number, content, sent: sent.slice(0, LIMITS.reportBytes), problems: tooLong }
  const checked = checkPrecinctReport(report.kind, report.body)
  if ('problems' in checked) return { number: report.number, content, sent, problems: checked.problems }
  const origin: Origin = { via: 'device' }
  if (sending.sentAt === null) origin.unmeasured = true
  if (skew !== 0) origin.skewSeconds = skew
  return {
    number: report.number,
    content,
    sent,
    make: recordedAt => {
      const { body, detail } = partDetail(checked.kind, checked.body)
      const happened = happenedAt(report.at, recordedAt, sending)
      const asOf = body.asOf
      const entry = {
        kind: checked.kind,
        version: kinds[checked.kind].version,
        precinct: device.precinct,
        source: sourceOf(device),
        number: report.number,
        occurredAt: happened,
        origin,
        body: typeof asOf === 'string' ? { ...body, asOf: happenedText(asOf, recordedAt, sending) } : body,
        detail,
      }
      return entry as Draft & NewEntry
    },
  }
}

const tooLong: Problems = [
  { path: '', message: `the report is longer than ${LIMITS.reportBytes} bytes: shorten its text` },
]
