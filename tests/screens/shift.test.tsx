import { cleanup, render, screen, within } from '@testing-library/react'
import userEvent from '@testing-library/user-event'
import { afterEach, describe, expect, it, vi } from 'vitest'
import { inOrder } from '../../app/desk/sheet/sheetOrder.ts'
import { notePrinted, printedAt, sheetReminder } from '../../app/desk/sheetPrinted.ts'
import { recentNotes } from '../../app/desk/shift/recentNotes.ts'
import { Shift } from '../../app/desk/shift/shift.tsx'
import { heldBy, shiftFacts } from '../../app/desk/shift/shiftFacts.ts'
import { BoardProvider } from '../../app/live/useBoard.ts'
import type { Errand } from '../../server/domain/day/state.ts'
import { MINUTE, toRfc3339 } from '../../server/domain/time.ts'
import type { EntryOnWire } from '../../server/protocol/board.ts'
import type { CommandAnswer } from '../../server/protocol/command.ts'
import { aLine, aLink, aReason, aRow, aSnapshot, at, BRIEF, NOBODY } from '../support/aBoard.ts'

afterEach(() => {
  cleanup()
  vi.unstubAllGlobals()
})

const taken = (by: string, hour: number, minute: number) => ({
  ...NOBODY,
  takenBy: by,
  takenAt: at(hour, minute),
})
const errand = (id: string, changes: Partial<Errand> = {}): Errand => ({
  id,
  rover: 'R-1',
  precinct: 'E-02',
  by: 'imre',
  is: 'on-the-way',
  assignedAt: at(9, 20),
  acceptedAt: at(9, 21),
  onTheWayAt: at(9, 25),
  onSiteAt: null,
  endedAt: null,
  position: 50,
  touchedAt: 52,
  ...changes,
})
const note = (position: number, minute: number, changes: Partial<EntryOnWire> = {}): EntryOnWire => ({
  position,
  kind: 'NoteAdded',
  version: 1,
  precinct: 'E-01',
  source: 'command:x',
  number: 1,
  occurredAt: toRfc3339(at(9, minute)),
  recordedAt: toRfc3339(at(9, minute)),
  origin: { via: 'desk', wrote: 'imre' },
  body: {},
  detail: { note: `note ${position}` },
  hash: 'a'.repeat(64),
  ...changes,
})
const silentLine = (key: string, changes: object) =>
  aLine(key, { reasons: [aReason(key, { rule: 'silent', tier: 'soon', evidence: {} })], ...changes })

describe('what the next shift must know', () => {
  const facts = (changes: object) =>
    shiftFacts(
      { calls: [], errands: [], rows: new Map(BRIEF.precincts.map(p => [p.code, aRow(p.code)])), ...changes },
      BRIEF,
      at(9, 41),
    )

  it('who holds what, longest held first, also where no reason stands any more', () => {
    const rows = new Map([
      ['E-01', aRow('E-01', { call: taken('ana', 9, 30) })],
      ['E-02', aRow('E-02', { call: taken('imre', 9, 10) })],
    ])
    const { held } = facts({ rows, calls: [aLine('E-01', { call: taken('ana', 9, 30), steppedBack: true })] })
    expect(held.map(m => [m.key, m.call.takenBy, m.reasons.length])).toEqual([
      ['E-02', 'imre', 0],
      ['E-01', 'ana', 1],
    ])
    expect(heldBy('imre', rows.values())).toEqual(['E-02'])
  })

  it('stop and now that nobody holds: not what is taken, put aside, or less grave', () => {
    const back = { ...NOBODY, backUntil: at(10, 0), lastOutcome: 'deferred' as const }
    const calls = [
      aLine('E-01'),
      aLine('E-02', { call: back, steppedBack: true }),
      silentLine('E-03', {}),
      aLine('E-04', { call: taken('ana', 9, 30), steppedBack: true }),
      aLine('E-05', { tier: 'stop' }),
    ]
    const { free, aside } = facts({ calls })
    expect(free.map(l => l.key)).toEqual(['E-05', 'E-01'])
    expect(aside.map(m => m.key)).toEqual(['E-02'])
  })

  it('what comes back first stands first, and what has come back is not aside any more', () => {
    const until = (hour: number, minute: number) => ({ ...NOBODY, backUntil: at(hour, minute) })
    const calls = [
      silentLine('E-01', { call: until(10, 30) }),
      silentLine('E-02', { call: until(9, 50) }),
      silentLine('E-03', { call: until(9, 41) }),
    ]
    expect(facts({ calls }).aside.map(m => m.key)).toEqual(['E-02', 'E-01'])
  })

  it('open errands and returns that are out, longest first', () => {
    const rows = new Map([
      ['E-01', aRow('E-01', { departedAt: at(20, 30) })],
      ['E-02', aRow('E-02', { departedAt: at(20, 10) })],
      ['E-03', aRow('E-03', { departedAt: at(20, 0), receivedAt: at(20, 40) })],
    ])
    const found = facts({ rows, errands: [errand('a', { endedAt: at(9, 30), is: 'done' }), errand('b')] })
    expect(found.errands.map(e => e.id)).toEqual(['b'])
    expect(found.out.map(r => r.code)).toEqual(['E-02', 'E-01'])
    expect([found.notLeft, found.received]).toEqual([0, 1])
  })
})

describe('notes of the last two hours', () => {
  const log = (n: number, every = 1 * MINUTE) =>
    Array.from({ length: n }, (_, i) =>
      note(i + 1, 0, {
        recordedAt: toRfc3339(at(9, 41) - (n - 1 - i) * every),
        kind: i % 100 === 0 ? 'NoteAdded' : 'DevicesHeard',
      }),
    )
  const reading = (entries: EntryOnWire[]) => {
    const asked: number[] = []
    return {
      asked,
      read: async (after: number, limit: number) => {
        asked.push(after)
        return entries.slice(after, after + limit)
      },
    }
  }

  it('are found backwards from the head, latest first, as far as time asks and no further', async () => {
    const { asked, read } = reading(log(5_000, 6_000))
    const { notes, onlySince } = await recentNotes(read, 5_000, at(7, 41))
    expect(notes.map(n => n.position)).toEqual(
      Array.from({ length: 12 }, (_, i) => 4_901 - i * 100).filter(p => p >= 3_800),
    )
    expect(onlySince).toBeNull()
    expect(asked).toEqual([4_000, 3_000])
  })

  it('in a log that nobody can look through say how far back they go', async () => {
    const entries = log(30_000, 100)
    const { asked, read } = reading(entries)
    const { onlySince, notes } = await recentNotes(read, 30_000, at(7, 41))
    expect(asked).toHaveLength(20)
    expect(onlySince).toBe(Date.parse(entries[10_000]!.recordedAt))
    expect(notes.every(n => n.position > 10_000)).toBe(true)
  })

  it('have the words of calls that ended or were put off, and no entry without words of people', async () => {
    const entries = [
      note(1, 30, { kind: 'CallLogged', body: { outcome: 'watching' } }),
      note(2, 31, { kind: 'CallLogged', detail: undefined }),
      note(3, 32, { kind: 'CallDeferred', body: { until: toRfc3339(at(10)) } }),
      note(4, 33, { kind: 'IncidentNoted', detail: { what: 'rain' } }),
      note(5, 34, { detail: undefined }),
    ]
    const { notes } = await recentNotes(reading(entries).read, 5, at(9, 0))
    expect(notes.map(n => n.position)).toEqual([5, 3, 1])
  })
})

describe('the hand-over sheet', () => {
  async function sheet(answer: () => CommandAnswer = () => ({ ok: true, position: 101 })) {
    vi.stubGlobal('fetch', async () => Response.json({ entries: [note(99, 30)], head: null }))
    const call = taken('ana', 9, 30)
    const rows = BRIEF.precincts.map(p => aRow(p.code, p.code === 'E-02' ? {} : { call }))
    const calls = [aLine('E-02'), aLine('E-01', { call, steppedBack: true })]
    const made = await aLink(aSnapshot({ rows, calls, errands: [errand('b')] }), answer)
    render(
      <BoardProvider value={made.link}>
        <Shift day="ellery" me={{ id: 'ana', name: 'Ana' }} />
      </BoardProvider>,
    )
    await screen.findByText('note 99')
    return { ...made, user: userEvent.setup() }
  }
  const table = (title: string) => {
    const heading = screen.getByRole('heading', { name: title })
    return within(heading.nextElementSibling as HTMLElement)
  }

  it('bears the log’s head, who holds what since when, errands, and the notes', async () => {
    await sheet()
    expect(screen.getByText(/^entry 100,/).textContent).toContain('a'.repeat(64))
    expect(table('Stop and now, held by nobody').getByRole('row', { name: /^Mill/ })).toBeTruthy()
    expect(
      table('Who holds what')
        .getAllByRole('row')
        .map(r => r.textContent?.slice(0, 9)),
    ).toEqual(['WhoWhereW', 'AnaHarbor', 'AnaGull I'])
    expect(table('Rovers on errands').getByRole('row', { name: /Rover one/ }).textContent).toMatch(
      /Mill.*on the way since 09:25.*09:20 by Imre/,
    )
  })

  it('gives back all that one holds in one command, after asking once', async () => {
    const { user, sent } = await sheet()
    await user.click(screen.getByRole('button', { name: 'Give back all that I hold (2)' }))
    expect(sent).toEqual([])
    await user.click(screen.getByRole('button', { name: 'No' }))
    await user.click(screen.getByRole('button', { name: 'Give back all that I hold (2)' }))
    await user.click(screen.getByRole('button', { name: 'Yes, give back all 2 calls' }))
    expect(sent).toMatchObject([{ kind: 'HandOverCall', body: { precincts: ['E-01', 'E-03'] } }])
    expect(await screen.findByText(/^Given back: 2 precincts/)).toBeTruthy()
  })

  it('says why nothing was given back', async () => {
    const { user } = await sheet(() => ({
      ok: false,
      refusal: { reason: 'not-yours', message: 'Imre has this call', by: 'Imre' },
    }))
    await user.click(screen.getByRole('button', { name: /^Give back/ }))
    await user.click(screen.getByRole('button', { name: /^Yes/ }))
    expect(await screen.findByText('Imre has this call')).toBeTruthy()
  })
})

describe('the situation sheet', () => {
  it('is reminded of once more than half an hour of the day has gone by', () => {
    const zone = BRIEF.timeZone
    expect(sheetReminder(at(9, 30), at(10, 0), zone)).toBeNull()
    expect(sheetReminder(at(9, 30), at(10, 0) + 1, zone)).toBe('Sheet printed 09:30, next due 10:00')
    expect(sheetReminder(null, at(12, 0), zone)).toBeNull()
    expect(sheetReminder(at(12, 0), at(9, 0), zone)).toBeNull()
  })

  it('remembers when it was printed, day by day, and does without where nothing can be kept', () => {
    const kept = new Map<string, string>()
    const storage = {
      getItem: (k: string) => kept.get(k) ?? null,
      setItem: (k: string, v: string) => void kept.set(k, v),
    }
    notePrinted('a', at(9, 30), storage)
    expect([printedAt('a', storage), printedAt('b', storage)]).toEqual([at(9, 30), null])
    const broken = {
      getItem: () => {
        throw new Error('forbidden')
      },
      setItem: () => {
        throw new Error('full')
      },
    }
    notePrinted('a', at(9, 30), broken)
    expect([printedAt('a', broken), printedAt('a', null)]).toEqual([null, null])
  })

  it('lists precincts as in the plan, by name, or by standing with the doubtful first', () => {
    const rows = new Map([
      ['E-01', aRow('E-01')],
      ['E-02', aRow('E-02', { silentSince: at(9, 0) })],
      ['E-03', aRow('E-03', { standing: 'setting-up' })],
    ])
    const names = (order: 'plan' | 'name' | 'standing') => inOrder(order, BRIEF, rows).map(l => l.name)
    expect(names('plan')).toEqual(['Harbor', 'Mill', 'Gull Island'])
    expect(names('name')).toEqual(['Gull Island', 'Harbor', 'Mill'])
    expect(names('standing')).toEqual(['Gull Island', 'Mill', 'Harbor'])
  })
})
