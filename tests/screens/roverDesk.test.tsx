import { act, cleanup, render, screen, within } from '@testing-library/react'
import userEvent from '@testing-library/user-event'
import { afterEach, describe, expect, it, vi } from 'vitest'
import { Board } from '../../app/desk/board.tsx'
import { KEYS } from '../../app/desk/keysDialog.tsx'
import { BoardProvider } from '../../app/live/useBoard.ts'
import type { CallLine } from '../../server/domain/day/row.ts'
import type { Errand } from '../../server/domain/day/state.ts'
import type { CommandAnswer } from '../../server/protocol/command.ts'
import { aLine, aLink, aPatch, aRow, aSnapshot, at } from '../support/aBoard.ts'

afterEach(() => {
  cleanup()
  vi.unstubAllGlobals()
})

const anErrand = (changes: Partial<Errand> = {}): Errand => ({
  id: 'e-1',
  rover: 'R-1',
  precinct: 'E-02',
  by: 'imre',
  is: 'on-the-way',
  assignedAt: at(9, 20),
  acceptedAt: null,
  onTheWayAt: at(9, 25),
  onSiteAt: null,
  endedAt: null,
  position: 90,
  touchedAt: 90,
  ...changes,
})

async function desk(
  { calls = [], errands = [] }: { calls?: CallLine[]; errands?: Errand[] },
  answer: (kind: string) => CommandAnswer = () => ({ ok: true, position: 101 }),
  mayAct = true,
) {
  const detail = {
    code: 'E-01',
    place: { name: 'Harbor Hall', address: '', phone: null },
    contacts: [],
    entries: [],
  }
  vi.stubGlobal('fetch', async () => new Response(JSON.stringify(detail)))
  const rows = ['E-01', 'E-02', 'E-03'].map(code =>
    aRow(code, { reasons: calls.find(l => l.precincts.includes(code))?.reasons ?? [] }),
  )
  const made = await aLink(aSnapshot({ calls, rows, errands }), answer)
  render(
    <BoardProvider value={made.link}>
      <Board day="ellery-2026-11-03" me={{ id: 'imre', name: 'Imre' }} mayAct={mayAct} />
    </BoardProvider>,
  )
  return { ...made, user: userEvent.setup() }
}
const card = (name: string) => within(screen.getByRole('article', { name }))
const form = () => within(screen.getByRole('form', { name: 'Send a rover' }))
const beside = () => within(screen.getByRole('complementary'))
const roverOf = (name: string) =>
  within(
    beside()
      .getAllByRole('listitem')
      .find(li => li.textContent!.startsWith(name))!,
  )

describe('sending a rover from a call', () => {
  it('lists the plan’s rovers, free and near first, with where each is, how far and what they can', async () => {
    const { user } = await desk({ calls: [aLine('E-02')] })
    await user.click(card('Mill').getByRole('button', { name: 'Send a rover' }))
    const choices = form()
      .getAllByRole('radio')
      .map(radio => radio.closest('label')!.textContent)
    // E-02's own place is Rover two's base; Harbor Hall to Mill School is 15.725 km by haversine (computed apart, in
    // Python) × 1.35 = 21.23 km = 13.2 miles, at 45 km/h 28.3 minutes.
    expect(choices).toEqual([
      'Rover two · right there, about 1 minfree, base Mill School · supplies',
      'Rover one · 13 mi, about 29 minfree, base Harbor Hall · tabulator',
    ])
    expect(form().getByText(/straight-line estimate: no roads, no water, no ferries/)).toBeTruthy()
  })

  it('sends who was chosen with what to do, and closes the form', async () => {
    const { user, sent } = await desk({ calls: [aLine('E-02')] })
    await user.click(card('Mill').getByRole('button', { name: 'Send a rover' }))
    await user.click(form().getByRole('radio', { name: /Rover one/ }))
    await user.type(
      form().getByLabelText(/What to do and bring/),
      'spare tabulator{Control>}{Enter}{/Control}',
    )
    expect(sent).toMatchObject([
      { kind: 'SendRover', body: { rover: 'R-1', precinct: 'E-02', what: 'spare tabulator' } },
    ])
    expect(screen.queryByRole('form', { name: 'Send a rover' })).toBeNull()
  })

  it('asks who goes first, and once more before a person is named', async () => {
    const { user, sent } = await desk({ calls: [aLine('E-02')] })
    await user.click(card('Mill').getByRole('button', { name: 'Send a rover' }))
    await user.click(form().getByRole('button', { name: 'Send' }))
    expect(form().getByRole('alert').textContent).toBe('Choose who goes.')
    await user.click(form().getByRole('radio', { name: /Rover one/ }))
    await user.type(form().getByLabelText(/What to do and bring/), 'ask for Mrs. Miller')
    await user.click(form().getByRole('button', { name: 'Send' }))
    expect(sent).toEqual([])
    await user.click(form().getByRole('button', { name: 'Write it anyway' }))
    expect(sent).toMatchObject([{ body: { what: 'ask for Mrs. Miller' } }])
  })

  it('is tried again under one id while no answer comes, and says why it was refused', async () => {
    const answers: CommandAnswer[] = [
      { ok: false, refusal: { reason: 'unavailable', message: 'No answer.' } },
      {
        ok: false,
        refusal: {
          reason: 'already-taken',
          message: 'Ana is on an errand to Mill School already',
          by: 'Ana',
        },
      },
    ]
    const { user, sent } = await desk({ calls: [aLine('E-02')] }, () => answers.shift()!)
    await user.click(card('Mill').getByRole('button', { name: 'Send a rover' }))
    await user.click(form().getByRole('radio', { name: /Rover one/ }))
    await user.click(form().getByRole('button', { name: 'Send' }))
    await user.click(form().getByRole('button', { name: 'Send' }))
    expect(sent[1]!.id).toBe(sent[0]!.id)
    expect(form().getByRole('alert').textContent).toBe('Ana is on an errand to Mill School already')
  })

  it('to one of several precincts that share a cause asks which', async () => {
    const { user, sent } = await desk({
      calls: [aLine('E-01', { key: 'cause', precincts: ['E-01', 'E-03'] })],
    })
    await user.click(card('2 precincts').getByRole('button', { name: 'Send a rover' }))
    await user.selectOptions(form().getByLabelText('To which of them'), 'E-03')
    expect(form().getByText('Who goes to Gull Island Chapel?')).toBeTruthy()
    await user.click(form().getByRole('radio', { name: /Rover one/ }))
    await user.click(form().getByRole('button', { name: 'Send' }))
    expect(sent).toMatchObject([{ body: { rover: 'R-1', precinct: 'E-03' } }])
  })

  it('shows on the card who is on it, since when and when they are expected, in place of the button', async () => {
    await desk({ calls: [aLine('E-02')], errands: [anErrand()] })
    expect(card('Mill').getByText('Rover one')).toBeTruthy()
    // 28.3 minutes after 9:25, to the whole minute after.
    expect(
      card('Mill').getByText(/on the way since 09:25; expected about 09:54 \(straight-line estimate\)/),
    ).toBeTruthy()
    expect(card('Mill').queryByRole('button', { name: 'Send a rover' })).toBeNull()
  })

  it('says when somebody else was sent to the place while the form was open', async () => {
    const { user, store, sent } = await desk({ calls: [aLine('E-02')] })
    await user.click(card('Mill').getByRole('button', { name: 'Send a rover' }))
    act(() => store.patch(aPatch(100, 101, { errands: [anErrand()] })))
    await user.click(form().getByRole('radio', { name: /Rover two/ }))
    await user.click(form().getByRole('button', { name: 'Send' }))
    expect(form().getByRole('alert').textContent).toBe('Rover one is on an errand to this place already.')
    expect(sent).toEqual([])
  })
})

describe('the key r', () => {
  it('opens the form on the line of the chosen precinct, in its drawer where that is open, else on the next call', async () => {
    const { user } = await desk({ calls: [aLine('E-01'), aLine('E-02')] })
    await user.keyboard('r')
    expect(card('Harbor').getByRole('form', { name: 'Send a rover' })).toBeTruthy()
    await user.keyboard('{Escape}jj')
    await user.keyboard('r')
    expect(card('Mill').getByRole('form', { name: 'Send a rover' })).toBeTruthy()
    await user.keyboard('{Escape}{Escape}')
    await user.click(card('Harbor').getByRole('button', { name: 'Harbor' }))
    await user.keyboard('r')
    expect(beside().getByRole('form', { name: 'Send a rover' })).toBeTruthy()
  })

  it('opens the drawer of a chosen precinct that needs no call, and does nothing for who only looks on', async () => {
    const { user } = await desk({ calls: [] })
    await user.keyboard('j')
    await user.keyboard('r')
    expect(beside().getByRole('form', { name: 'Send a rover' })).toBeTruthy()
    cleanup()
    const looking = await desk({ calls: [aLine('E-01')] }, undefined, false)
    await looking.user.keyboard('r')
    expect(screen.queryByRole('form')).toBeNull()
    expect(screen.queryByRole('button', { name: 'Send a rover' })).toBeNull()
  })

  it('stands in the list of keys', () => {
    expect(KEYS.map(([key]) => key)).toContain('r')
  })
})

describe('the rovers beside the strips', () => {
  it('stand with open errands first, with where they are as far as anybody said, and their telephone', async () => {
    await desk({ errands: [anErrand({ rover: 'R-2', precinct: 'E-03' })] })
    expect(beside().getByText('1 on errands, 1 free')).toBeTruthy()
    const two = roverOf('Rover two')
    expect(two.getByRole('link', { name: '555-0122' })).toBeTruthy()
    expect(two.getByRole('button', { name: 'Gull Island Chapel' })).toBeTruthy()
    expect(two.getByText(/on the way since 09:25; expected about/)).toBeTruthy()
    expect(roverOf('Rover one').getByText('free, base Harbor Hall · tabulator')).toBeTruthy()
    const names = beside()
      .getAllByRole('listitem')
      .map(li => li.textContent!.slice(0, 9))
    expect(names).toEqual(['Rover two', 'Rover one'])
  })

  it('are last known where they arrived, once they are free again', async () => {
    await desk({ errands: [anErrand({ is: 'done', onSiteAt: at(9, 30), endedAt: at(9, 40) })] })
    expect(roverOf('Rover one').getByText('free, last at Mill School, 09:30 · tabulator')).toBeTruthy()
  })

  it('are moved by the desk when they ring, with the words of how it ended', async () => {
    const { user, sent } = await desk({ errands: [anErrand({ is: 'on-site', onSiteAt: at(9, 35) })] })
    const one = roverOf('Rover one')
    await user.click(one.getByText('Rover one rings: write it in'))
    await user.type(one.getByLabelText(/Note, or why it is given back/), 'fuse replaced')
    await user.click(one.getByRole('button', { name: 'Finished' }))
    expect(sent).toMatchObject([{ kind: 'FinishErrand', body: { errand: 'e-1', note: 'fuse replaced' } }])
  })

  it('offers only the steps that the errand may take, and says why one was refused', async () => {
    const { user } = await desk({ errands: [anErrand()] }, () => ({
      ok: false,
      refusal: { reason: 'other-state', message: 'this errand is finished already' },
    }))
    const one = roverOf('Rover one')
    await user.click(one.getByText('Rover one rings: write it in'))
    const steps = one.getAllByRole('button').map(b => b.textContent)
    expect(steps).toEqual(['Mill School', 'Arrived', 'Given back'])
    await user.click(one.getByRole('button', { name: 'Arrived' }))
    expect(one.getByText('this errand is finished already')).toBeTruthy()
  })
})

describe('a precinct’s drawer', () => {
  it('shows who is on the way, who was there, and sends again once the place is free', async () => {
    const { user, store } = await desk({
      errands: [
        anErrand({ id: 'e-0', is: 'given-back', endedAt: at(9, 10), onTheWayAt: null, assignedAt: at(9, 0) }),
        anErrand(),
      ],
    })
    // By name where nobody needs a call: Gull Island, Harbor, Mill.
    await user.keyboard('jjj')
    await user.keyboard('{Enter}')
    const section = within(beside().getByRole('region', { name: 'Rover' }))
    expect(section.getByText('Rover one: given back at 09:10')).toBeTruthy()
    expect(section.getByText(/on the way since 09:25/)).toBeTruthy()
    expect(section.queryByRole('button', { name: 'Send a rover' })).toBeNull()
    const back = anErrand({ is: 'given-back', endedAt: at(9, 41), touchedAt: 101 })
    act(() => store.patch(aPatch(100, 101, { errands: [back] })))
    expect(section.getByRole('button', { name: 'Send a rover' })).toBeTruthy()
  })
})
