import { spawnSync } from 'node:child_process'
import {
  appendFileSync,
  mkdtempSync,
  readFileSync,
  rmSync,
  statSync,
  truncateSync,
  writeFileSync,
} from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { Readable } from 'node:stream'
import fc from 'fast-check'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { type DeviceHead, makeDeviceFile, openDeviceFile } from '../../server/cli/device/deviceFile.ts'
import { linesOf } from '../../server/cli/device/lines.ts'
import {
  afterAnswer,
  afterHeartbeat,
  BATCH,
  backOffMs,
  nextStep,
  type Progress,
} from '../../server/cli/device/sending.ts'
import { type DeviceStore, KEPT, memoryStore } from '../../server/cli/device/store.ts'
import { deviceWords } from '../../server/cli/device/words.ts'
import type { ReportAnswer, ReportEnvelope } from '../../server/protocol/device.ts'

const aLine = (inLine: number) => ({ at: '2026-11-03T14:02:07Z', kind: 'LineReported', body: { inLine } })

/** An office as the wire says, in memory: numbers without gaps, each once, the same again changes nothing. */
function anOffice() {
  let had: ReportEnvelope[] = []
  return {
    had: () => had,
    loseAfter: (number: number) => {
      had = had.slice(0, number)
    },
    take(reports: readonly ReportEnvelope[]): ReportAnswer {
      const refused: Array<{ number: number; problems: [{ path: string; message: string }] }> = []
      for (const report of reports) {
        const known = had[report.number - 1]
        if (!known && report.number > had.length + 1)
          return { ok: false, upTo: had.length, next: had.length + 1 }
        if (!known) had = [...had, report]
        else if (JSON.stringify(known) !== JSON.stringify(report))
          refused.push({ number: report.number, problems: [{ path: 'number', message: 'number-reused' }] })
      }
      return { ok: true, upTo: had.length, refused }
    },
  }
}

type Fate = 'taken' | 'request lost' | 'answer lost' | 'told to wait'

/** One request of a device that stands at `progress`; null: there was nothing to send. */
function oneRound(progress: Progress, store: DeviceStore, office: ReturnType<typeof anOffice>, fate: Fate) {
  const step = nextStep(progress, number => store.after(number, BATCH.reports + 1))
  if (step.is === 'rest' || step.is === 'stuck') return { step, progress, wait: null }
  const reports = step.is === 'send' ? step.reports : []
  const answer: ReportAnswer | null =
    fate === 'told to wait'
      ? { ok: false, upTo: 0, retryAfter: 20 }
      : fate === 'request lost'
        ? null
        : office.take(reports)
  const sent = reports.map(r => r.number)
  const outcome = afterAnswer(progress, sent, fate === 'answer lost' ? null : answer)
  if (answer?.ok && fate === 'taken') store.settle(outcome.progress.done, answer.upTo, outcome.refused)
  return { step, ...outcome }
}

const fate = fc.constantFrom<Fate>('taken', 'request lost', 'answer lost', 'told to wait')
const happening = fc.oneof(
  { weight: 4, arbitrary: fate.map(f => ({ is: 'round' as const, fate: f })) },
  { weight: 3, arbitrary: fc.nat(30).map(inLine => ({ is: 'said' as const, inLine })) },
  { weight: 1, arbitrary: fc.nat(40).map(number => ({ is: 'restored' as const, number })) },
  { weight: 1, arbitrary: fc.constant({ is: 'restarted' as const }) },
)

describe('what a device sends next', () => {
  it('P1 P2 P5: after any losses, restores and restarts the office has each report once, in order, as it was said', () => {
    fc.assert(
      fc.property(fc.array(happening, { maxLength: 80 }), happenings => {
        const office = anOffice()
        const store = memoryStore(0)
        let progress: Progress = { office: null, done: 0 }
        const said: ReportEnvelope[] = []
        const round = (f: Fate) => {
          const { step, progress: next, wait } = oneRound(progress, store, office, f)
          if (step.is === 'stuck') throw new Error('all is held, so nothing can be missing')
          if (step.is === 'send') {
            const numbers = step.reports.map(r => r.number)
            expect(numbers).toEqual(numbers.map((_, i) => numbers[0]! + i))
            // What brings nothing is never asked again at once.
            if (next.office === progress.office && next.done === progress.done) expect(wait).not.toBeNull()
          }
          expect(next.done).toBeGreaterThanOrEqual(progress.done)
          progress = next
          return step.is
        }
        for (const what of happenings) {
          if (what.is === 'said') said.push(store.add(aLine(what.inLine)))
          else if (what.is === 'restored') office.loseAfter(what.number)
          else if (what.is === 'restarted') progress = { office: null, done: store.done() }
          else round(what.fate)
        }
        // The link comes back: the office is asked, and all goes well from here on.
        progress = { ...progress, office: null }
        for (let rounds = 0; round('taken') !== 'rest'; rounds++) expect(rounds).toBeLessThan(100)
        expect(office.had()).toEqual(said)
        expect(store.waiting()).toBe(0)
      }),
      { numRuns: 500, seed: 20261103 },
    )
  })

  it('fits every batch into a request, and leaves none so big that it never goes', () => {
    const long = (number: number) => ({ number, ...aLine(1), body: { what: 'é'.repeat(3_900) } })
    const all = Array.from({ length: 60 }, (_, i) => long(i + 1))
    const step = nextStep({ office: 0, done: 0 }, number => all.slice(number))
    if (step.is !== 'send') throw new Error(step.is)
    expect(Buffer.byteLength(JSON.stringify(step.reports))).toBeLessThanOrEqual(BATCH.bytes + 2)
    expect(step.reports.length).toBeGreaterThan(25)
    const many = Array.from({ length: 900 }, (_, i) => ({ number: i + 1, ...aLine(i) }))
    const most = nextStep({ office: 0, done: 0 }, number => many.slice(number))
    expect(most.is === 'send' && most.reports.length).toBe(BATCH.reports)
  })

  it('sends what a copied file said under used numbers all the same, so that its refusal is seen', () => {
    const office = anOffice()
    const store = memoryStore(0)
    for (const inLine of [1, 2]) store.add(aLine(inLine))
    office.take(store.after(0, 9))
    const copy = memoryStore(0)
    copy.add(aLine(1))
    copy.add(aLine(7))
    let progress: Progress = { office: null, done: 0 }
    progress = oneRound(progress, copy, office, 'taken').progress
    const sent = oneRound(progress, copy, office, 'taken')
    expect('refused' in sent && sent.refused.map(r => r.number)).toEqual([2])
    expect(copy.refused()).toHaveLength(1)
    expect(copy.add(aLine(8)).number).toBe(3)
  })

  it('passes over no number: it stops where the office wants one that is no longer held', () => {
    const store = memoryStore(4)
    store.add(aLine(5))
    const { progress } = afterAnswer({ office: 4, done: 4 }, [5], { ok: false, upTo: 2, next: 3 })
    expect(nextStep(progress, n => store.after(n, 9))).toEqual({ is: 'stuck', wanted: 3, holds: 5 })
    // A hole in what is held: the part before it goes, then nothing.
    const holed = [1, 2, 5].map(number => ({ number, ...aLine(number) }))
    const after = (n: number) => holed.filter(r => r.number > n)
    expect(nextStep({ office: 0, done: 0 }, after)).toMatchObject({ reports: [{ number: 1 }, { number: 2 }] })
    expect(nextStep({ office: 2, done: 2 }, after)).toEqual({ is: 'stuck', wanted: 3, holds: 5 })
  })

  it('believes no `upTo` beside an advice to wait, and asks where a heartbeat knows of less', () => {
    const told = afterAnswer({ office: 9, done: 9 }, [10], { ok: false, upTo: 0, retryAfter: 250 })
    expect(told).toEqual({ progress: { office: 9, done: 9 }, refused: [], wait: { is: 'told', ms: 250 } })
    expect(afterHeartbeat({ office: 9, done: 9 }, 8)).toEqual({ office: null, done: 9 })
    expect(afterHeartbeat({ office: 9, done: 9 }, 9)).toEqual({ office: 9, done: 9 })
  })

  it('waits longer each time, within half a minute, and never at the same time as all others', () => {
    expect([0, 1, 4, 5, 4_000].map(n => backOffMs(n, 1))).toEqual([1_000, 2_000, 16_000, 30_000, 30_000])
    expect(backOffMs(0, 0)).toBe(500)
  })
})

describe('the file of a device', () => {
  let dir = ''
  const head: DeviceHead = {
    sunup: 'device',
    form: 1,
    url: 'http://127.0.0.1:1',
    key: 'k',
    device: 'd_1',
    day: 'a-day',
    precinct: 'E-01',
    upTo: 0,
  }
  const at = (name: string) => join(dir, name)
  const made = (name: string) => {
    makeDeviceFile(at(name)).keep(head)
    return at(name)
  }
  beforeEach(() => {
    dir = mkdtempSync(join(tmpdir(), 'sunup-device-'))
  })
  afterEach(() => rmSync(dir, { recursive: true }))

  it('P1: cut off at any byte it holds every line that was whole, and goes on with the next number', () => {
    const path = made('a')
    const first = openDeviceFile(path)
    for (const inLine of [1, 2, 3]) first.store.add(aLine(inLine))
    first.store.settle(2, 2, [{ number: 1, problems: [{ path: 'body.inLine', message: 'no' }] }])
    first.close()
    expect(statSync(path).mode & 0o777).toBe(0o600)
    const whole = readFileSync(path)
    const begins = whole.indexOf('\n') + 1
    for (let length = begins; length <= whole.length; length++) {
      writeFileSync(path, whole)
      truncateSync(path, length)
      const lines = whole.subarray(begins, length).toString().split('\n').length - 1
      const { store, close } = openDeviceFile(path)
      expect(store.last()).toBe(Math.min(3, lines))
      expect(store.done()).toBe(lines === 4 ? 2 : 0)
      expect(store.refused()).toHaveLength(lines === 4 ? 1 : 0)
      expect(store.add(aLine(9)).number).toBe(Math.min(3, lines) + 1)
      close()
      const again = openDeviceFile(path)
      expect(again.store.last()).toBe(Math.min(3, lines) + 1)
      expect(again.store.after(Math.min(3, lines), 9)).toMatchObject([{ body: { inLine: 9 } }])
      again.close()
    }
  })

  it('lets go of what the office has had for long, and keeps numbers and what waits', () => {
    const path = made('a')
    const said = (number: number) => `${JSON.stringify({ said: { number, ...aLine(number % 50) } })}\n`
    const count = 3 * KEPT.dealtWith
    for (let n = 1; n <= count; n += 500) {
      appendFileSync(path, Array.from({ length: 500 }, (_, i) => said(n + i)).join(''))
      appendFileSync(path, `${JSON.stringify({ done: n + 499, office: n + 499 })}\n`)
    }
    appendFileSync(path, said(count + 1))
    const before = statSync(path).size
    const { store, close } = openDeviceFile(path)
    expect([store.last(), store.done(), store.waiting()]).toEqual([count + 1, count, 1])
    close()
    const after = openDeviceFile(path)
    expect([after.store.last(), after.store.done(), after.store.waiting()]).toEqual([count + 1, count, 1])
    expect(after.store.after(0, 1)[0]!.number).toBeGreaterThan(count - 1.2 * KEPT.dealtWith)
    after.close()
    expect(statSync(path).size).toBeLessThan(before / 2)
    expect(statSync(path).mode & 0o777).toBe(0o600)
  })

  it('serves one process at a time, and takes over what a killed one left', () => {
    const path = made('a')
    const { close } = openDeviceFile(path)
    expect(() => openDeviceFile(path)).toThrow(`in use by process ${process.pid}`)
    close()
    const { pid } = spawnSync(process.execPath, ['-e', ''])
    writeFileSync(`${path}.lock`, String(pid))
    openDeviceFile(path).close()
  })

  it('says what is wrong with it and what to do', () => {
    const path = made('a')
    expect(() => makeDeviceFile(path)).toThrow('is there already: choose another file')
    expect(() => makeDeviceFile(join(dir, 'none', 'a'))).toThrow("can't be written (ENOENT)")
    expect(() => openDeviceFile(at('none'))).toThrow('is not there: sunup device enrol makes it')
    writeFileSync(at('other'), '{"harbor-hall": {"key": "x"}}\n')
    expect(() => openDeviceFile(at('other'))).toThrow('is not a file that sunup device enrol made')
    writeFileSync(at('half'), '')
    expect(() => openDeviceFile(at('half'))).toThrow('is not a file that sunup device enrol made')
    appendFileSync(path, '{"said": 3}\n')
    expect(() => openDeviceFile(path)).toThrow(/a, line 2, is not what sunup device wrote there/)
  })
})

describe('lines of standard input', () => {
  const allOf = async (parts: Array<Buffer | string>) => {
    const lines: Array<string | null> = []
    for await (const line of linesOf(Readable.from(parts))) lines.push(line)
    return lines
  }
  it('are the same however the bytes come, and one that is too long costs no other', async () => {
    const text = 'one\n\nthrée\n{"kind":"x"}\nlast'
    await fc.assert(
      fc.asyncProperty(fc.array(fc.nat(Buffer.byteLength(text)), { maxLength: 8 }), async cuts => {
        const bytes = Buffer.from(text)
        const edges = [0, ...cuts.sort((a, b) => a - b), bytes.length]
        const parts = edges.slice(1).map((end, i) => bytes.subarray(edges[i], end))
        expect(await allOf(parts)).toEqual(text.split('\n'))
      }),
      { numRuns: 200, seed: 20261103 },
    )
    const long = Array.from({ length: 40 }, () => 'x'.repeat(4_000))
    const lines = await allOf([...long, '\nshort\n'])
    expect(lines).toEqual([null, 'short'])
  })
})

describe('the words of sunup device', () => {
  it.each([
    [['enrol', '--url', 'http://x', '--file', 'f'], '--code is missing'],
    [['enrol', '--url', 'office', '--code', 'A', '--file', 'f'], '--url is the office'],
    [['say', 'LineReported'], '--file is missing'],
    [['say', '--file', 'f'], 'KIND is missing'],
    [['say', '--file', 'f', 'LineReported', '{inLine:', '4}'], 'BODY goes in single quotes'],
    [['run', '--file', 'f', '--at', 'noon'], '--at belongs to say'],
    [['run', '--fiel', 'f'], '--fiel'],
    [['tell'], 'what follows is enrol, say or run'],
  ])('%j: says what is missing, and code 2', async (words, why) => {
    const said: string[] = []
    const hands = { out: (line: string) => said.push(line), complain: (line: string) => said.push(line) }
    expect(await deviceWords(words, Readable.from([]), hands)).toBe(2)
    expect(said[0]).toContain(why)
    expect(said[1]).toContain('sunup device enrol')
  })
})
