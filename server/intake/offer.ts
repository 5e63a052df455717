import type { Device } from '../access/access.ts'
import { datedOf, deviceReplaced } from '../domain/log/aside.ts'
import { checkPrecinctReport, partDetail } from '../domain/log/check.ts'
import type { NewEntry, Offered, Problems } from '../domain/log/dayLog.ts'
import type { Draft, Origin } from '../domain/log/entry.ts'
import { canonicalReport, fingerprintOf } from '../domain/log/fingerprint.ts'
import { kinds } from '../domain/log/kinds.ts'
import { LIMITS, type ReportEnvelope } from '../protocol/device.ts'
import { happenedAt, happenedText, type Sending } from './times.ts'

/** The name under which a device's numbers count in the log. */
export function sourceOf(device: Device): string {
  return `device:${device.id}`
}

/**
 * One report of a device as the log takes it: fit, with all its times converted under the lock, or refused. Of a device
 * that was replaced everything is kept aside.
 */
export function offer(device: Device, report: ReportEnvelope, sending: Sending, skew: number): Offered {
  const fit = offerOf(device, report, sending, skew)
  if (device.replacedAt === null) return fit
  const { number, content, sent } = fit
  if ('problems' in fit)
    return { number, content, sent, problems: [...deviceReplaced, ...fit.problems], aside: () => null }
  return { number, content, sent, problems: deviceReplaced, aside: now => datedOf(fit.make(now)) }
}

function offerOf(device: Device, report: ReportEnvelope, sending: Sending, skew: number): Offered {
  const { number } = report
  const text = canonicalReport(report.at, report.kind, report.body)
  const content = fingerprintOf(text)
  if (isTooLong(text))
    return { number, content, sent: JSON.stringify(report).slice(0, LIMITS.reportBytes), problems: tooLong }
  const checked = checkPrecinctReport(report.kind, report.body)
  if ('problems' in checked)
    return { number, content, sent: JSON.stringify(report), problems: checked.problems }
  const origin: Origin = { via: 'device' }
  if (sending.sentAt === null) origin.unmeasured = true
  if (skew !== 0) origin.skewSeconds = skew
  return {
    number,
    content,
    length: text.length,
    // Written out only where the number turns out to be used already, which is rare.
    get sent() {
      return JSON.stringify(report)
    },
    make: recordedAt => {
      const { body, detail } = partDetail(checked.kind, checked.body)
      const happened = happenedAt(report.at, recordedAt, sending)
      const asOf = body.asOf
      const entry = {
        kind: checked.kind,
        version: kinds[checked.kind].version,
        precinct: device.precinct,
        source: sourceOf(device),
        number,
        occurredAt: happened,
        origin,
        body: typeof asOf === 'string' ? { ...body, asOf: happenedText(asOf, recordedAt, sending) } : body,
        detail,
      }
      return entry as Draft & NewEntry
    },
  }
}

/** In bytes; most reports are so short that their characters need no counting. */
function isTooLong(text: string): boolean {
  return text.length * 3 > LIMITS.reportBytes && Buffer.byteLength(text) > LIMITS.reportBytes
}

const tooLong: Problems = [
  { path: '', message: `the report is longer than ${LIMITS.reportBytes} bytes: shorten its text` },
]
