import { act, cleanup, render, screen, within } from '@testing-library/react'
import userEvent from '@testing-library/user-event'
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import { BoardProvider } from '../../app/live/useBoard.ts'
import { mapLink } from '../../app/rover/errandCard.tsx'
import { Errands } from '../../app/rover/errands.tsx'
import { RoverOf } from '../../app/rover/rover.tsx'
import type { Errand } from '../../server/domain/day/state.ts'
import type { CommandAnswer } from '../../server/protocol/command.ts'
import type { ErrandsAnswer } from '../../server/protocol/errands.ts'
import { aLink, aPatch, aReason, aRow, aSnapshot, at, BRIEF } from '../support/aBoard.ts'

beforeEach(() => localStorage.clear())
afterEach(() => {
  cleanup()
  vi.unstubAllGlobals()
})

const rover = BRIEF.rovers.find(r => r.code === 'R-1')!

function anErrand(changes: Partial<Errand> = {}): Errand {
  return {
    id: 'e-1',
    rover: 'R-1',
    precinct: 'E-02',
    by: 'imre',
    is: 'assigned',
    assignedAt: at(9, 30),
    acceptedAt: null,
    onTheWayAt: null,
    onSiteAt: null,
    endedAt: null,
    position: 90,
    touchedAt: 90,
    ...changes,
  }
}

const answer: ErrandsAnswer = {
  officePhone: '555-0199',
  errands: [
    {
      id: 'e-1',
      rover: 'R-1',
      precinct: 'E-02',
      is: 'assigned',
      assignedAt: '2026-11-03T14:30:00.000Z',
      acceptedAt: null,
      onTheWayAt: null,
      onSiteAt: null,
      endedAt: null,
      place: { code: 'PL-02', name: 'Mill School', address: '20 Mill Rd', latitude: 41.62, longitude: -70.7 },
      precincts: [{ code: 'E-02', name: 'Mill' }],
      what: 'Bring the spare tabulator.',
    },
  ],
}

async function page(
  errands: Errand[],
  reply: (kind: string) => CommandAnswer = () => ({ ok: true, position: 100 }),
) {
  vi.stubGlobal('fetch', async () => new Response(JSON.stringify(answer)))
  const rows = ['E-01', 'E-02', 'E-03'].map(code =>
    aRow(code, code === 'E-02' ? { reasons: [aReason('E-02')] } : {}),
  )
  const made = await aLink(aSnapshot({ errands, rows }), reply)
  render(
    <BoardProvider value={made.link}>
      <Errands day="ellery-2026-11-03" person="p-one" rover={rover} />
    </BoardProvider>,
  )
  return { ...made, user: userEvent.setup() }
}
const card = () => within(screen.getByRole('article', { name: 'Mill School' }))
const press = (name: string) => screen.getByRole('button', { name })

describe('a rover’s page', () => {
  it('says plainly that there is no errand, and how one will come', async () => {
    await page([anErrand({ rover: 'R-2' })])
    expect(screen.getByText('No errand now. The desk will send you one. Keep this page open.')).toBeTruthy()
    expect((await screen.findByRole('link', { name: 'Ring the desk, 555-0199' })).getAttribute('href')).toBe(
      'tel:555-0199',
    )
    expect(screen.queryByRole('article')).toBeNull()
  })

  it('tells where to, what is wrong there, what the desk wrote and what the office has', async () => {
    await page([anErrand()])
    expect(await card().findByText('20 Mill Rd')).toBeTruthy()
    expect(card().getByText('Precinct Mill')).toBeTruthy()
    expect(card().getByText('Bring the spare tabulator.')).toBeTruthy()
    expect(card().getByText('Tabulator down')).toBeTruthy()
    expect(card().getByText(/down since 09:12/)).toBeTruthy()
    expect(card().getByText('The office has: sent, not accepted yet, since 09:30.')).toBeTruthy()
    expect(card().getByText(/ mi, about .* from Harbor Hall \(straight-line estimate\)\./)).toBeTruthy()
  })

  it('offers the steps that the errand may take, the next one first', async () => {
    await page([anErrand({ is: 'on-the-way', onTheWayAt: at(9, 35) })])
    const steps = card()
      .getAllByRole('button')
      .map(b => b.textContent)
    expect(steps).toEqual(['Arrived', 'Give back'])
    expect(card().getByText(/Expected about \d\d:\d\d \(straight-line estimate\)\./)).toBeTruthy()
  })

  it('sends a press at once and goes on with the next step without waiting for the picture', async () => {
    const { user, sent, store } = await page([anErrand()], () => ({ ok: true, position: 105 }))
    await user.click(press('Accept'))
    expect(sent).toMatchObject([{ kind: 'AcceptErrand', body: { errand: 'e-1' } }])
    expect(card().queryByRole('button', { name: 'Accept' })).toBeNull()
    expect(card().getByText(/The office has: sent, not accepted yet/)).toBeTruthy()
    const accepted = anErrand({ is: 'accepted', acceptedAt: at(9, 41), touchedAt: 105 })
    act(() => store.patch(aPatch(100, 105, { errands: [accepted] })))
    expect(card().getByText('The office has: accepted, has not set out, since 09:41.')).toBeTruthy()
    expect(screen.getByText('The office has all you pressed.')).toBeTruthy()
  })

  it('keeps what was pressed without a link, says so, and shows when it was pressed', async () => {
    const silent: CommandAnswer = { ok: false, refusal: { reason: 'unavailable', message: 'No answer.' } }
    const { user, store } = await page([anErrand({ is: 'on-the-way', onTheWayAt: at(9, 35) })], () => silent)
    act(() => store.lost())
    await user.click(press('Arrived'))
    expect(screen.getByText('One thing you pressed waits for the office.')).toBeTruthy()
    expect(screen.getByText(/No link since 09:41\. You see what was so at 09:41\. Press on/)).toBeTruthy()
    expect(card().getByText('“Arrived” waits for the link, pressed 09:41.')).toBeTruthy()
    expect(press('Finished')).toBeTruthy()
    expect(JSON.parse(localStorage.getItem('sunup.taps.ellery-2026-11-03.p-one')!)).toMatchObject([
      { command: 'ArriveOnSite', errand: 'e-1' },
    ])
  })

  it('sends after a reload what waited, and leaves aside what it can’t read', async () => {
    const tap = {
      id: '0f8fad5b-d9cb-469f-a165-70867728950e',
      command: 'SetOut',
      errand: 'e-1',
      words: null,
      at: Date.now() - 5_000,
    }
    localStorage.setItem('sunup.taps.ellery-2026-11-03.p-one', JSON.stringify([tap]))
    const { sent } = await page([anErrand()])
    expect(sent).toMatchObject([{ kind: 'SetOut', id: tap.id, body: { errand: 'e-1' } }])
    expect((sent[0]!.body as { agoSeconds: number }).agoSeconds).toBeGreaterThanOrEqual(5)
    cleanup()
    localStorage.setItem('sunup.taps.ellery-2026-11-03.p-one', '[{"command":"Fly"}]')
    expect((await page([anErrand()])).sent).toEqual([])
  })

  it('finishes with a note, asked once more before somebody is named', async () => {
    const { user, sent } = await page([anErrand({ is: 'on-site', onSiteAt: at(9, 38) })])
    await user.click(press('Finished'))
    await user.type(screen.getByLabelText(/A note for the office/), 'Ann Miller has voted')
    await user.click(press('Finished'))
    expect(screen.getByRole('alert').textContent).toMatch(/Voters are never named here/)
    expect(sent).toEqual([])
    await user.click(press('Write it anyway'))
    expect(sent).toMatchObject([
      { kind: 'FinishErrand', body: { errand: 'e-1', note: 'Ann Miller has voted' } },
    ])
  })

  it('is given back with why, by one press on a usual answer', async () => {
    const { user, sent } = await page([anErrand()])
    await user.click(press('Give back'))
    await user.click(press('I can’t get there.'))
    await user.click(press('Give it back'))
    expect(sent).toMatchObject([
      { kind: 'GiveBackErrand', body: { errand: 'e-1', why: 'I can’t get there.' } },
    ])
  })

  it('shows a refusal in the office’s words until it is read', async () => {
    const { user } = await page([anErrand()], () => ({
      ok: false,
      refusal: { reason: 'other-state', message: 'this errand is given back already' },
    }))
    await user.click(press('On my way'))
    expect(screen.getByText('“On my way” was not taken: this errand is given back already.')).toBeTruthy()
    await user.click(press('I have read it'))
    expect(screen.queryByText(/was not taken/)).toBeNull()
  })

  it('tells aloud of an errand that comes while the page is open, not of those that were there', async () => {
    const { store } = await page([anErrand()])
    expect(screen.queryByText(/^New errand/)).toBeNull()
    const more = anErrand({ id: 'e-2', precinct: 'E-03', position: 101, touchedAt: 101 })
    act(() => store.patch(aPatch(100, 101, { errands: [more] })))
    expect(screen.getByText('New errand: Gull Island Chapel.')).toBeTruthy()
    expect(screen.getAllByRole('article')).toHaveLength(2)
  })

  it('lists what was done today below', async () => {
    await page([anErrand({ is: 'done', onSiteAt: at(9, 20), endedAt: at(9, 40) })])
    expect(screen.getByText('Mill School: finished at 09:40')).toBeTruthy()
  })
})

describe('the way there', () => {
  it('is a geo URI for the phone’s own map, with the place as its label', () => {
    expect(mapLink({ name: 'Mill School (gym)', latitude: 41.62, longitude: -70.7 })).toBe(
      `geo:41.62,-70.7?q=${encodeURIComponent('41.62,-70.7(Mill School  gym )')}`,
    )
  })
})

describe('before there are errands', () => {
  it('a rover without a post is told whom to ask, and nothing is asked of the server about a day', async () => {
    vi.stubGlobal('fetch', async () => new Response(JSON.stringify({ days: [] })))
    render(<RoverOf person={{ id: 'p-one', post: null }} wanted={null} />)
    expect(screen.getByRole('heading', { name: 'No rover of the plan is yours yet' })).toBeTruthy()
    await act(async () => undefined)
  })

  it('several days are offered for choice', async () => {
    const days = [
      { id: 'a', county: 'Ellery County', name: 'General election' },
      { id: 'b', county: 'Ellery County', name: 'Practice' },
    ]
    vi.stubGlobal('fetch', async () => new Response(JSON.stringify({ days })))
    render(<RoverOf person={{ id: 'p-one', post: 'R-1' }} wanted={null} />)
    const link = await screen.findByRole('link', { name: 'Ellery County Practice' })
    expect(link.getAttribute('href')).toBe('/rover?day=b')
  })
})
