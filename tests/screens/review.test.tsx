import { cleanup, fireEvent, render, screen, waitFor } from '@testing-library/react'
import userEvent from '@testing-library/user-event'
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import { STILL_KEYS } from '../../app/desk/keysDialog.tsx'
import { makeStillBoard } from '../../app/live/stillBoard.ts'
import { ReviewOf } from '../../app/review/review.tsx'
import { MINUTE, toRfc3339 } from '../../server/domain/time.ts'
import type { Snapshot } from '../../server/protocol/board.ts'
import type { DayMarks } from '../../server/protocol/review.ts'
import { aLine, aReason, aRow, aSnapshot, at } from '../support/aBoard.ts'
import { someForecasts } from '../support/aForecast.ts'

const DAY = 'ellery-2026-11-03'
const marks: DayMarks = {
  day: DAY,
  county: 'Ellery County',
  name: 'General election',
  kind: 'election',
  date: '2026-11-03',
  timeZone: 'America/New_York',
  first: at(5),
  last: at(10),
  running: false,
  entries: 120,
  opensAt: at(6, 30),
  closesAt: at(19, 30),
  quarters: [{ from: at(6, 30), entries: 40 }],
  reasons: [{ at: at(9, 13), position: 90, tier: 'now', rule: 'tabulator-down', precinct: 'E-01' }],
  reasonsLeftOut: 0,
}

/** The county at an instant: closed doors before half past six; E-01 is called from 9:13; E-02 opened and told it late. */
function pictureOf(instant: number, view: string): Snapshot {
  const open = instant >= at(6, 30)
  const down = instant >= at(9, 13) && view === 'known'
  const rows = ['E-01', 'E-02', 'E-03'].map(code => {
    const isOpen = open && (code !== 'E-02' || view === 'happened' || instant >= at(8))
    return aRow(code, {
      standing: isOpen ? 'open' : 'setting-up',
      openedAt: isOpen ? at(6, 30) : null,
      reasons: down && code === 'E-01' ? [aReason('E-01')] : [],
      touchedAt: Math.floor(instant / MINUTE),
    })
  })
  const position = view === 'known' ? Math.max(1, Math.round((instant - at(5)) / (3 * MINUTE))) : 120
  return aSnapshot({
    now: instant,
    speed: 0,
    cursor: position,
    head: { position, hash: `${position}`.padStart(64, 'f') },
    rows,
    calls: down ? [aLine('E-01')] : [],
  })
}

let asked: string[] = []
beforeEach(() => {
  asked = []
  vi.stubGlobal('fetch', async (path: string) => {
    asked.push(path)
    const url = new URL(path, 'http://here')
    if (url.pathname.endsWith('/forecasts'))
      return Response.json(someForecasts(Number(url.searchParams.get('position'))))
    if (url.pathname.endsWith('/forecast')) return new Response('{}', { status: 404 })
    if (path === '/api/v1/review')
      return Response.json({
        days: [
          {
            id: DAY,
            county: 'Ellery County',
            name: 'General election',
            kind: 'election',
            date: '2026-11-03',
            is: 'closed',
          },
        ],
      })
    if (url.pathname.endsWith('/marks')) return Response.json(marks)
    if (url.pathname.endsWith('/state')) {
      const position = url.searchParams.get('position')
      const instant = position
        ? at(5) + Number(position) * 3 * MINUTE
        : Date.parse(url.searchParams.get('at')!)
      return Response.json(pictureOf(instant, url.searchParams.get('view')!))
    }
    return Response.json({
      code: 'E-01',
      place: { name: 'Harbor Hall', address: '1 Quay', phone: null },
      contacts: [],
      entries: [],
    })
  })
})
afterEach(() => {
  cleanup()
  vi.unstubAllGlobals()
  history.replaceState(null, '', '/')
})

async function review(search = `?day=${DAY}`) {
  history.replaceState(null, '', `/review${search}`)
  render(<ReviewOf />)
  if (search.includes('day=')) await screen.findByText(/Not live/)
  return userEvent.setup()
}
const slider = () => screen.getByRole('slider', { name: 'Instant of the day' })
const band = (words: RegExp) => screen.findByText(words, {}, { timeout: 3_000 })
const drag = (to: number) => fireEvent.change(slider(), { target: { value: String(to) } })

describe('the review page', () => {
  it('lets a day be chosen, running or closed', async () => {
    await review('')
    const link = await screen.findByRole('link', { name: 'Ellery County, General election' })
    expect(link.getAttribute('href')).toBe(`/review?day=${DAY}`)
    expect(screen.getByText(/2026-11-03, closed/)).toBeTruthy()
  })

  it('shows the latest picture on the desk’s own components, says that it is none of now, and takes no commands', async () => {
    await review()
    await band(/as the office knew it at 10:00 on Nov 3/)
    expect(screen.getByRole('article', { name: 'Harbor' })).toBeTruthy()
    expect(screen.queryByRole('button', { name: 'Take the call' })).toBeNull()
    expect(screen.queryByText('Situation sheet')).toBeNull()
    expect(screen.getByText(/picture of 10:00:00, entry 100, hash ffff/)).toBeTruthy()
  })

  it('goes back by the slider and keeps the instant in the address', async () => {
    await review()
    drag(at(6, 0))
    await band(/knew it at 06:00 on Nov 3/)
    expect(screen.getByText('Nobody needed a call at this instant.')).toBeTruthy()
    expect(slider().getAttribute('aria-valuetext')).toBe('06:00 on Tue, Nov 3')
    expect(location.search).toBe(`?day=${DAY}&at=${toRfc3339(at(6))}&view=known`)
  })

  it('opens at the instant and view of its address', async () => {
    await review(`?day=${DAY}&at=${toRfc3339(at(7))}&view=happened`)
    await band(/really stood at 07:00 on Nov 3/)
    expect((screen.getByRole('radio', { name: 'As happened' }) as HTMLInputElement).checked).toBe(true)
  })

  it('as happened says what it leaves aside, counts what differs, and opens a precinct of those', async () => {
    const user = await review(`?day=${DAY}&at=${toRfc3339(at(7))}&view=happened`)
    await band(/1 precinct differs from what was known then/)
    expect(screen.getByText(/Leaves aside what the system concluded then/)).toBeTruthy()
    expect(screen.getByText('(standing, opened)')).toBeTruthy()
    await user.click(screen.getByRole('button', { name: 'Mill' }))
    expect(await screen.findByRole('heading', { name: 'Mill', level: 2 })).toBeTruthy()
    await waitFor(() =>
      expect(asked).toContain(`/api/v1/days/${DAY}/precincts/E-02?until=${toRfc3339(at(7))}&view=happened`),
    )
    await user.click(screen.getByRole('radio', { name: 'As known' }))
    await band(/as the office knew it at 07:00/)
    expect(screen.queryByText(/differs from what was known/)).toBeNull()
  })

  it('moves by buttons, keys, a typed time, entry by entry and from reason to reason', async () => {
    const user = await review(`?day=${DAY}&at=${toRfc3339(at(9))}`)
    await user.click(screen.getByRole('button', { name: '5 minutes later' }))
    await band(/at 09:05/)
    await user.keyboard('[[')
    await band(/at 09:04/)
    await user.click(screen.getByRole('button', { name: 'Next reason' }))
    await band(/at 09:13/)
    expect(await screen.findByRole('article', { name: 'Harbor' })).toBeTruthy()
    await user.keyboard('b')
    expect(slider().getAttribute('aria-valuetext')).toMatch(/^09:13/)
    fireEvent.keyDown(slider(), { key: 'PageDown' })
    await band(/at 08:58/)
    const time = screen.getByRole('textbox', { name: 'Time, HH:MM' })
    await user.clear(time)
    await user.type(time, '6:2')
    expect(time.getAttribute('aria-invalid')).toBe('true')
    await user.type(time, '9{Enter}')
    await band(/at 06:29/)
    await user.click(screen.getByRole('button', { name: 'Entry before' }))
    await waitFor(() => expect(asked.some(path => path.includes('position=29'))).toBe(true))
  })

  it('has its keys in the help, and none that acts', () => {
    const keys = STILL_KEYS.map(([key]) => key)
    expect(keys).toEqual(expect.arrayContaining(['[ ]', 'b n', 'p', '?']))
    for (const acting of ['t', 'l', 'd', 'r', 'c']) expect(keys).not.toContain(acting)
  })

  it('plays a minute each second until it is paused, by button or by hand', async () => {
    const user = await review(`?day=${DAY}&at=${toRfc3339(at(8))}`)
    await user.click(screen.getByRole('button', { name: 'Play' }))
    await band(/at 08:01/)
    await band(/at 08:02/)
    await user.click(screen.getByRole('button', { name: 'Pause' }))
    const stood = slider().getAttribute('aria-valuetext')
    await new Promise(resolve => setTimeout(resolve, 1_300))
    expect(slider().getAttribute('aria-valuetext')).toBe(stood)
    expect(screen.getByRole('button', { name: 'Play' })).toBeTruthy()
  })

  it('keeps the picture and says so where the next one doesn’t come', async () => {
    await review(`?day=${DAY}&at=${toRfc3339(at(8))}`)
    vi.stubGlobal('fetch', async () => {
      throw new TypeError('failed')
    })
    drag(at(9))
    expect(await screen.findByText(/could not be reached\. The picture before it is kept\./)).toBeTruthy()
    expect(screen.getByText(/knew it at 08:00/)).toBeTruthy()
  })
})

describe('a still board', () => {
  it('keeps the identity of what two pictures have in common, and its clock stands', () => {
    const { link, show } = makeStillBoard(() => 5)
    show(pictureOf(at(9), 'known'), 'known')
    const before = link.store.get()
    show(structuredClone(pictureOf(at(9), 'known')), 'known')
    const same = link.store.get()
    expect(same.rows).toBe(before.rows)
    expect(same.calls).toBe(before.calls)
    show(pictureOf(at(9, 13), 'known'), 'known')
    const later = link.store.get()
    expect(later.rows.get('E-01')).not.toBe(before.rows.get('E-01'))
    expect(later).toMatchObject({ clock: { dayAt: at(9, 13), speed: 0 }, still: 'known', cursor: 84 })
  })

  it('shows the forecasts that stood at its entry, not those of a picture that it has left, none of what happened', () => {
    const { link, show, foresee } = makeStillBoard(() => 5)
    show(pictureOf(at(9), 'known'), 'known')
    const { cursor } = link.store.get()
    foresee(cursor, someForecasts(cursor - 2))
    expect(link.store.get().forecasts?.position).toBe(cursor - 2)
    show(pictureOf(at(9, 13), 'known'), 'known')
    expect(link.store.get().forecasts).toBeNull()
    foresee(cursor, someForecasts(cursor - 2))
    expect(link.store.get().forecasts).toBeNull()
    show(pictureOf(at(9, 13), 'happened'), 'happened')
    foresee(link.store.get().cursor, someForecasts(80))
    expect(link.store.get().forecasts).toBeNull()
  })

  it('refuses every command', async () => {
    const { link } = makeStillBoard(() => 5)
    expect(await link.send('AddNote', { precinct: null, note: 'x' })).toMatchObject({
      ok: false,
      refusal: { reason: 'not-allowed' },
    })
  })
})
