import { cleanup, render, screen, within } from '@testing-library/react'
import userEvent from '@testing-library/user-event'
import { afterEach, describe, expect, it, vi } from 'vitest'
import { BoardProvider } from '../../../app/live/useBoard.ts'
import { ReceivingTable } from '../../../app/receiving/receivingTable.tsx'
import { toRfc3339 } from '../../../server/domain/time.ts'
import type { CommandAnswer } from '../../../server/protocol/command.ts'
import type { ReturnOnWire, ReturnsAnswer } from '../../../server/protocol/returns.ts'
import { aLink, aPatch, aRow, aSnapshot, at } from '../../support/aBoard.ts'

afterEach(() => {
  cleanup()
  vi.unstubAllGlobals()
})

const iso = (hour: number, minute: number) => toRfc3339(at(hour, minute))
const HARBOR = { code: 'PL-01', name: 'Harbor Hall' }

function aReturn(precinct: string, name: string, changes: Partial<ReturnOnWire> = {}): ReturnOnWire {
  return {
    precinct,
    name,
    place: HARBOR,
    standing: 'returning',
    departedAt: iso(20, 15),
    expected: { at: iso(20, 50), place: HARBOR },
    overdueAt: iso(21, 45),
    overdue: false,
    sent: { said: true, items: ['ballots-voted', 'tapes'], seals: 2, carriers: 2 },
    received: null,
    difference: null,
    ...changes,
  }
}
const received = (by: string, changes: Partial<NonNullable<ReturnOnWire['received']>> = {}) => ({
  at: iso(20, 55),
  via: 'desk' as const,
  by,
  carriers: 2,
  station: HARBOR,
  items: ['ballots-voted', 'tapes'],
  seals: ['E1', 'E2'],
  position: 120,
  receipt: 'R-120',
  ...changes,
})
const same = { itemsMissing: [], itemsExtra: [], sealsMissing: [], sealsExtra: [] }

async function table(
  returns: ReturnOnWire[],
  answer: (body: unknown) => CommandAnswer = () => ({ ok: true, position: 120 }),
) {
  const office = { returns }
  const fetched: string[] = []
  vi.stubGlobal('fetch', async (url: string) => {
    fetched.push(url)
    const wanted = new URL(url, 'http://office').searchParams.getAll('precinct')
    const told: ReturnsAnswer = {
      now: iso(21, 0),
      cursor: 100,
      returnBy: iso(22, 0),
      overdueMinutes: 90,
      stations: [HARBOR],
      returns: office.returns.filter(r => wanted.length === 0 || wanted.includes(r.precinct)),
    }
    return Response.json(told)
  })
  const rows = returns.map(r => aRow(r.precinct, { standing: 'returning', departedAt: at(20, 15) }))
  const made = await aLink(aSnapshot({ now: at(21, 0), rows }), (_, body) => answer(body))
  render(
    <BoardProvider value={made.link}>
      <ReceivingTable day="ellery" post={null} />
    </BoardProvider>,
  )
  const user = userEvent.setup()
  await screen.findByText(/of \d+ checked in/)
  return { ...made, user, office, fetched }
}
const beside = () => within(screen.getByRole('region', { name: 'Return' }))

describe('the list of returns', () => {
  it('has the overdue first, then the one estimated next, those not yet left, and what differs before what agrees', async () => {
    await table([
      aReturn('E-01', 'Agrees', { received: received('Nell'), difference: same }),
      aReturn('E-02', 'Late', { overdueAt: iso(20, 40) }),
      aReturn('E-03', 'Differs', {
        received: received('Nell'),
        difference: { ...same, sealsMissing: ['E9'] },
      }),
      aReturn('E-04', 'Second', { expected: { at: iso(21, 20), place: HARBOR } }),
      aReturn('E-05', 'First'),
      aReturn('E-06', 'Still there', {
        departedAt: null,
        expected: null,
        standing: 'closing',
        overdueAt: iso(22, 0),
      }),
      aReturn('E-07', 'Unknown way', { departedAt: iso(20, 59), expected: null }),
      aReturn('E-08', 'Said', { received: received('Nell', { via: 'device', by: null, receipt: null }) }),
    ])
    const names = screen.getAllByRole('listitem').map(li => li.textContent)
    expect(names).toEqual([
      'Lateoverdue since 20:40, 20 min; left 20:15, estimated at Harbor Hall 20:50',
      'Saidsaid to be received 20:55, not checked in, not compared',
      'Firstleft 20:15, estimated at Harbor Hall 20:50',
      'Unknown wayleft 20:59, no estimate of its arrival',
      'Secondleft 20:15, estimated at Harbor Hall 21:20',
      'Still thereclosing',
      'Differsreceived 20:55, differs',
      'Agreesreceived 20:55, all as sent',
    ])
    expect(
      screen.getByText(/^2 of 8 checked in, 1 only said to be received, 3 on the way, 1 overdue$/),
    ).toBeTruthy()
  })

  it('opens a return by a code that is scanned, or by a name that fits one alone', async () => {
    const { user } = await table([aReturn('E-01', 'Harbor'), aReturn('E-011', 'Harbor East')])
    const field = screen.getByLabelText(/code or name/)
    await user.type(field, 'harb{Enter}')
    expect(screen.getByText('2 precincts fit: type more, or choose.')).toBeTruthy()
    await user.clear(field)
    await user.type(field, 'e-01{Enter}')
    expect(beside().getByRole('heading', { name: 'Check in Harbor' })).toBeTruthy()
  })

  it('asks for what changed on the board, and for that alone', async () => {
    const { store, office, fetched } = await table([aReturn('E-01', 'Harbor'), aReturn('E-02', 'Mill')])
    expect(fetched).toEqual(['/api/v1/days/ellery/returns'])
    office.returns = [aReturn('E-01', 'Harbor', { received: received('Nell'), difference: same })]
    store.patch(aPatch(100, 101, { rows: [aRow('E-01', { standing: 'received', receivedAt: at(20, 55) })] }))
    await screen.findByText(/received 20:55/, {}, { timeout: 3_000 })
    expect(fetched).toEqual(['/api/v1/days/ellery/returns', '/api/v1/days/ellery/returns?precinct=E-01'])
  })
})

describe('a check-in', () => {
  it('shows no expected seal before it is sent, asks when one person came, and tells at once what differs', async () => {
    const { user, office, sent } = await table([aReturn('E-01', 'Harbor')])
    await user.click(screen.getByRole('button', { name: /^Harbor/ }))
    const form = beside()
    expect(document.activeElement?.textContent).toBe('Check in Harbor')
    expect(form.getByText(/^Read each from the seal itself/)).toBeTruthy()
    expect(form.queryByText(/2 seals|expected/)).toBeNull()
    await user.type(form.getByLabelText('How many people brought it'), '1')
    expect(form.getByText(/may want two people together/)).toBeTruthy()
    await user.click(form.getByLabelText('Voted ballots'))
    await user.type(form.getByLabelText(/Number as it stands/), 'E1{Enter}e 1{Enter}')
    expect(form.getByText('e 1 is in the list already, as number 1. Each seal once.')).toBeTruthy()
    await user.clear(form.getByLabelText(/Number as it stands/))
    await user.type(form.getByLabelText(/Number as it stands/), 'E7{Enter}')
    await user.type(form.getByLabelText(/Who brought it/), 'Two clerks')
    await user.click(form.getByRole('button', { name: 'Look it over' }))
    expect(form.getByText('E1, E7')).toBeTruthy()
    expect(form.queryByText(/Tapes|expected|not ticked/i)).toBeNull()
    expect(sent).toEqual([])
    office.returns = [
      aReturn('E-01', 'Harbor', {
        received: received('Nell', { seals: ['E1', 'E7'], carriers: 1 }),
        difference: { ...same, itemsMissing: ['tapes'], sealsMissing: ['E2'], sealsExtra: ['E7'] },
      }),
    ]
    await user.click(form.getByRole('button', { name: 'Check in' }))
    expect(sent).toMatchObject([
      {
        kind: 'CheckInReturn',
        body: {
          precinct: 'E-01',
          items: ['ballots-voted'],
          seals: ['E1', 'E7'],
          carriers: 1,
          deliveredBy: 'Two clerks',
          station: 'PL-01',
        },
      },
    ])
    expect(sent[0]!.body).not.toHaveProperty('replaces')
    expect(await form.findByRole('heading', { name: 'Harbor is checked in' })).toBeTruthy()
    const differs = form.getByRole('alert')
    expect(differs.textContent).toContain('Not here, but said to be sent: Tapes.')
    expect(differs.textContent).toContain('Seal that should be on it and was not found: E2.')
    expect(differs.textContent).toContain('The desk has it on its call list already. Call the desk now')
    expect(form.getByRole('link', { name: 'Receipt to print' }).getAttribute('href')).toBe(
      '/receiving/receipt?day=ellery&precinct=E-01',
    )
  })

  it('stops with the field in the focus and nothing sent where something is wrong', async () => {
    const { user, sent } = await table([aReturn('E-01', 'Harbor')])
    await user.click(screen.getByRole('button', { name: /^Harbor/ }))
    await user.click(beside().getByRole('button', { name: 'Look it over' }))
    const people = beside().getByLabelText('How many people brought it')
    expect(people.getAttribute('aria-invalid')).toBe('true')
    expect(beside().getByText(/^Nothing is ticked/)).toBeTruthy()
    expect(sent).toEqual([])
  })

  it('asks before a note that looks like somebody is looked over', async () => {
    const { user } = await table([aReturn('E-01', 'Harbor')])
    await user.click(screen.getByRole('button', { name: /^Harbor/ }))
    const form = beside()
    await user.type(form.getByLabelText('How many people brought it'), '2')
    await user.click(form.getByLabelText('Tapes'))
    await user.type(form.getByLabelText(/^Note/), 'voter Ann Miller left her bag')
    await user.click(form.getByRole('button', { name: 'Look it over' }))
    expect(form.getByText(/Voters are never named here/)).toBeTruthy()
    await user.click(form.getByRole('button', { name: 'Write it anyway' }))
    expect(form.getByRole('heading', { name: 'Look it over' })).toBeTruthy()
  })

  it('of a return that another clerk has checked in meanwhile is told so, and replaces it only on a word', async () => {
    const { user, store, office, sent } = await table([aReturn('E-01', 'Harbor')])
    await user.click(screen.getByRole('button', { name: /^Harbor/ }))
    const form = beside()
    await user.type(form.getByLabelText('How many people brought it'), '2')
    await user.click(form.getByLabelText('Tapes'))
    office.returns = [aReturn('E-01', 'Harbor', { received: received('Nell'), difference: same })]
    store.patch(aPatch(100, 101, { rows: [aRow('E-01', { standing: 'received', receivedAt: at(20, 55) })] }))
    expect(await form.findByText('Already checked in at 20:55 by Nell.', {}, { timeout: 3_000 })).toBeTruthy()
    await user.click(form.getByRole('button', { name: 'Look it over' }))
    expect(form.getByRole('button', { name: 'Check in' })).toHaveProperty('disabled', true)
    await user.click(form.getByRole('button', { name: 'Yes, check it in again' }))
    await user.click(form.getByRole('button', { name: 'Check in' }))
    expect(sent).toMatchObject([{ body: { precinct: 'E-01', items: ['tapes'], replaces: 120 } }])
  })

  it('says why it was not checked in, and keeps what was typed', async () => {
    const { user } = await table([aReturn('E-01', 'Harbor'), aReturn('E-02', 'Mill')], () => ({
      ok: false,
      refusal: { reason: 'other-state', message: 'Imre checked this return in at 20:50', by: 'Imre' },
    }))
    await user.click(screen.getByRole('button', { name: /^Harbor/ }))
    const form = beside()
    await user.type(form.getByLabelText('How many people brought it'), '2')
    await user.click(form.getByLabelText('Tapes'))
    await user.click(form.getByRole('button', { name: 'Look it over' }))
    await user.click(form.getByRole('button', { name: 'Check in' }))
    expect(await form.findByText('Not checked in: Imre checked this return in at 20:50')).toBeTruthy()
    await user.click(screen.getByRole('button', { name: /^Mill/ }))
    await user.click(screen.getByRole('button', { name: /^Harbor/ }))
    expect(beside().getByLabelText('How many people brought it')).toHaveProperty('value', '2')
    expect(beside().getByLabelText('Tapes')).toHaveProperty('checked', true)
  })
})
