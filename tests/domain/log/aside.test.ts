import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  acceptedEntry,
  asideSource,
  type Dated,
  DEVICE_REPLACED,
  datedOf,
  deviceReplaced,
  readAside,
} from '../../../server/domain/log/aside.ts'
import { canonicalReport, fingerprintOf } from '../../../server/domain/log/fingerprint.ts'
import { anyReport } from '../../support/anyReport.ts'
import { at, desk, given, iso, type Said, says, system } from '../../support/given.ts'

const dated = (time: string, asOf?: string): Dated => ({
  occurredAt: at(time),
  origin: { via: 'device' },
  ...(asOf === undefined ? {} : { asOf: iso(asOf) }),
})
const report = (kind: string, body: object) => JSON.stringify({ number: 7, at: iso('09:00'), kind, body })
const of = { precinct: 'E-01', device: 'd-old', number: 7, content: 12 }

/** The entry that accepting makes, as a line of an invented day. */
function accepted(kind: string, body: object, when: Dated, now: string): Said {
  const read = readAside({ sent: report(kind, body), problems: deviceReplaced, dated: when })
  if (!read.ok) throw new Error(JSON.stringify(read.problems))
  const { detail: _, ...entry } = acceptedEntry(read, of, 'p-imre', at(now))
  return { ...entry, recordedAt: at(now) } as Said
}

describe('a report kept aside', () => {
  it('is accepted at the time it happened, with its own asOf, under a source and number of its own', () => {
    const body = { checkedIn: 51, asOf: iso('08:58') }
    const entry = accepted('CountsReported', body, dated('09:00', '08:57'), '11:30')
    expect(entry).toMatchObject({
      source: 'aside:d-old:12',
      number: 7,
      occurredAt: at('09:00'),
      origin: { via: 'device', acceptedBy: 'p-imre' },
      body: { checkedIn: 51, asOf: iso('08:57') },
    })
  })

  it('P6: is no word from there: a silent precinct is not heard by it, and news that is newer stands', () => {
    const day = given(
      says('E-01', '09:30', 'LineReported', { inLine: 9 }),
      accepted('LineReported', { inLine: 30 }, dated('09:10'), '11:30'),
      accepted('CountsReported', { checkedIn: 80 }, dated('09:12'), '11:30'),
    )
    expect(day.row('E-01')).toMatchObject({
      heardAt: at('09:30'),
      inLine: { is: 9, asOf: at('09:30') },
      checkedIn: { is: 80, asOf: at('09:12') },
    })
    expect(day.p('E-01').devices.map(d => d.id)).toEqual(['d-E-01'])
  })

  it('counts for the desk until it is accepted or left, whatever it says and in whatever order', () => {
    const reports = fc.array(
      fc.record({ report: anyReport, device: fc.constantFrom('d-1', 'd:2'), left: fc.boolean() }),
      {
        minLength: 1,
        maxLength: 12,
      },
    )
    fc.assert(
      fc.property(reports, fc.nat(11), (list, openYet) => {
        const kept = list.map(({ device }) =>
          system('E-01', '11:00', 'ReportsKeptAside', { device, howMany: 1 }),
        )
        const answers = list.map(({ report: { kind, body }, device, left }, i): Said => {
          const entry = left
            ? desk('E-01', '11:30', 'AsideLeft', { device, number: i + 1 })
            : says('E-01', '09:00', kind, body as never)
          const origin = left ? entry.origin : { ...entry.origin, acceptedBy: 'p-imre' }
          return { ...entry, origin, number: i + 1, source: asideSource(device, i) } as Said
        })
        const open = Math.min(openYet, list.length)
        const p = given(...kept, ...answers.slice(open)).p('E-01')
        const waiting = (device: string) => list.slice(0, open).filter(r => r.device === device).length
        for (const device of ['d-1', 'd:2']) expect(p.keptAside[device]?.howMany ?? 0).toBe(waiting(device))
        if (open === 0) expect(p.keptAside).toEqual({})
        // What was kept before the log said so takes nothing away.
        expect(given(...answers).p('E-01').keptAside).toEqual({})
      }),
      { seed: 8, numRuns: 200 },
    )
  })

  it('parts the words that may have to be taken back', () => {
    const sent = report('HelpRequested', { about: 'supplies', what: 'pens' })
    expect(readAside({ sent, problems: deviceReplaced, dated: dated('09:00') })).toMatchObject({
      ok: true,
      body: { about: 'supplies' },
      detail: { what: 'pens' },
    })
  })

  it('says why it can’t be accepted: a wrong field, an unknown kind, cut off, times that were not kept', () => {
    const pathsOf = (kept: Parameters<typeof readAside>[0]) => {
      const read = readAside(kept)
      return read.ok ? 'fit' : read.problems.map(p => p.path)
    }
    const problems = [...deviceReplaced, { path: '', message: 'the report is longer than 8192 bytes' }]
    const when = dated('09:00')
    expect(pathsOf({ sent: report('LineReported', { inLine: -1 }), problems, dated: when })).toEqual([
      'body.inLine',
    ])
    expect(pathsOf({ sent: report('VotesCounted', {}), problems, dated: when })).toEqual(['kind'])
    expect(pathsOf({ sent: '{"number":7,"at":"2026', problems, dated: null })).toEqual([''])
    expect(pathsOf({ sent: report('PollsOpened', {}), problems, dated: null })).toEqual(['at'])
    expect(pathsOf({ sent: report('PollsOpened', {}), problems, dated: when })).toBe('fit')
  })

  it('whatever was sent: it is fit, or told why not in words that aren’t the marker’s; never dated after now', () => {
    const sent = fc.oneof(
      fc.string(),
      fc.json(),
      fc
        .record({ kind: fc.constantFrom('LineReported', 'PollsOpened'), body: fc.jsonValue() })
        .map(r => JSON.stringify(r)),
    )
    fc.assert(
      fc.property(
        sent,
        fc.integer({ min: 0, max: 4e12 }),
        fc.integer({ min: 0, max: 4e12 }),
        (text, then, now) => {
          const when: Dated = { occurredAt: then, origin: { via: 'device' } }
          const read = readAside({ sent: text, problems: deviceReplaced, dated: when })
          if (read.ok) expect(acceptedEntry(read, of, 'p', now).occurredAt).toBe(Math.min(then, now))
          else {
            expect(read.problems.length).toBeGreaterThan(0)
            expect(read.problems.map(p => p.path)).not.toContain(DEVICE_REPLACED)
          }
        },
      ),
      { seed: 6, numRuns: 500 },
    )
  })

  it('is dated as the log would have dated it, and its fingerprint is a whole number that JSON keeps', () => {
    const entry = accepted(
      'CountsReported',
      { checkedIn: 1, asOf: iso('08:58') },
      dated('09:00', '08:57'),
      '11:30',
    )
    expect(datedOf(entry as Parameters<typeof datedOf>[0])).toEqual({
      occurredAt: at('09:00'),
      origin: entry.origin,
      asOf: iso('08:57'),
    })
    fc.assert(
      fc.property(fc.string(), text => {
        const content = fingerprintOf(canonicalReport(iso('09:00'), 'PollsOpened', { text }))
        expect(BigInt(JSON.parse(JSON.stringify(Number(content))))).toBe(content)
      }),
      { seed: 6 },
    )
  })
})
