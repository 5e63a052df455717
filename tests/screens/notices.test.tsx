import { cleanup, render, screen, within } from '@testing-library/react'
import userEvent from '@testing-library/user-event'
import { afterEach, describe, expect, it, vi } from 'vitest'
import { Board } from '../../app/desk/board.tsx'
import { BoardProvider } from '../../app/live/useBoard.ts'
import type { BoardNotice } from '../../server/domain/day/notices.ts'
import type { CommandAnswer } from '../../server/protocol/command.ts'
import { aLink, aPatch, aSnapshot, BRIEF } from '../support/aBoard.ts'

afterEach(() => {
  cleanup()
  vi.unstubAllGlobals()
})

const NOTICE: BoardNotice = {
  position: 90,
  at: BRIEF.opensAt,
  by: 'ana',
  toAll: true,
  acknowledge: true,
  of: 3,
  read: 1,
}
const onWire = {
  position: 90,
  at: new Date(BRIEF.opensAt).toISOString(),
  by: 'Ana',
  to: null,
  acknowledge: true,
  of: 3,
}

/** The first by name, as the list has it. */
const FIRST = [...BRIEF.precincts].sort((a, b) => a.name.localeCompare(b.name))[0]!.code

async function desk(answer: () => CommandAnswer = () => ({ ok: true, position: 101 })) {
  const unread = BRIEF.precincts.slice(1).map(p => p.code)
  const answers: Record<string, () => unknown> = {
    '/notices': () => ({ notices: [{ ...onWire, read: 1, text: 'Rain until four.' }] }),
    '/notices/90': () => ({ ...onWire, read: 1, text: 'Rain until four.', readBy: [], unread }),
    [`/precincts/${FIRST}/custody`]: () => ({
      precinct: FIRST,
      opened: true,
      containers: [
        {
          container: 'ballot-box',
          planned: 'E1',
          when: 'morning',
          links: [{ at: onWire.at, act: 'removed', number: 'E1', state: 'intact', gaps: ['open-since'] }],
          gaps: ['not-looked-at'],
          wrong: false,
          openSince: onWire.at,
        },
      ],
    }),
  }
  vi.stubGlobal('fetch', async (path: string) => {
    const found = answers[path.replace('/api/v1/days/ellery-2026-11-03', '')]
    return found ? Response.json(found()) : new Response('{}', { status: 503 })
  })
  const made = await aLink(aSnapshot({ notices: [NOTICE] }), answer)
  render(
    <BoardProvider value={made.link}>
      <Board day="ellery-2026-11-03" me={{ id: 'ana', name: 'Ana' }} mayAct={true} />
    </BoardProvider>,
  )
  return { ...made, user: userEvent.setup(), beside: within(screen.getByRole('complementary')) }
}

describe('the desk’s notices', () => {
  it('say by how many they were read, live, and on demand who has yet to', async () => {
    const { user, beside, store } = await desk()
    expect(await beside.findByText('Rain until four.')).toBeTruthy()
    expect(beside.getByText(/read by 1 of 3/)).toBeTruthy()
    await user.click(beside.getByRole('button', { name: 'Who hasn’t?' }))
    const list = within(await beside.findByRole('list', { name: 'Not read yet' }))
    expect(list.getAllByRole('button').map(b => b.textContent)).toEqual(
      BRIEF.precincts.slice(1).map(p => p.name),
    )
    store.patch(aPatch(100, 101, { notices: [{ ...NOTICE, read: 3 }] }))
    expect(await beside.findByText(/read by 3 of 3/)).toBeTruthy()
    expect(beside.queryByRole('list', { name: 'Not read yet' })).toBeNull()
  })

  it('are written to all, to an area or to chosen precincts, and ask once more before a person is named', async () => {
    const { user, beside, sent } = await desk()
    const write = () => user.click(beside.getByRole('button', { name: 'Write a notice' }))
    const submit = () => user.click(beside.getByRole('button', { name: 'Send the notice' }))
    await write()
    await submit()
    expect(beside.getByRole('alert').textContent).toBe('Write the notice first.')
    await user.type(beside.getByLabelText(/What to tell them/), 'Salt the ramp.')
    await submit()
    expect(sent.at(-1)).toMatchObject({
      kind: 'SendNotice',
      body: { text: 'Salt the ramp.', acknowledge: true },
    })
    expect(sent.at(-1)!.body).not.toHaveProperty('to')
    expect(beside.getByText(`Sent to ${BRIEF.precincts.length} precincts.`)).toBeTruthy()

    await write()
    await user.click(beside.getByLabelText('Chosen precincts'))
    await user.type(beside.getByLabelText(/What to tell them/), 'Call 555-010-0199 about Jane Miller')
    await submit()
    expect(beside.getByRole('alert').textContent).toBe('Choose at least one precinct.')
    await user.click(beside.getByLabelText(BRIEF.precincts[1]!.name))
    await user.click(beside.getByLabelText('Ask each to say that it was read'))
    await submit()
    expect(sent).toHaveLength(1)
    await user.click(beside.getByRole('button', { name: 'Write it anyway' }))
    expect(sent.at(-1)!.body).toMatchObject({ to: [BRIEF.precincts[1]!.code], acknowledge: false })

    await write()
    await user.click(beside.getByLabelText('Chosen precincts'))
    const [first, ...rest] = BRIEF.precincts
    const boxes = () => beside.getAllByRole('checkbox').map(box => box.closest('label')!.textContent)
    await user.type(beside.getByLabelText(/^Find by name/), `${first!.code.toLowerCase()}{Enter}`)
    expect(boxes()).toEqual([first!.name, 'Ask each to say that it was read'])
    await user.click(beside.getByRole('button', { name: 'Choose all 1 found' }))
    await user.clear(beside.getByLabelText(/^Find by name/))
    await user.type(beside.getByLabelText(/^Find by name/), 'nowhere')
    expect(beside.getByText('No precinct is called so.')).toBeTruthy()
    expect(beside.getByText(first!.name)).toBeTruthy()
    await user.clear(beside.getByLabelText(/^Find by name/))
    expect(boxes()).toHaveLength(rest.length + 2)
    await user.type(beside.getByLabelText(/What to tell them/), 'Rain.')
    await submit()
    expect(sent.at(-1)!.body).toMatchObject({ to: [first!.code] })

    await write()
    await user.click(beside.getByLabelText('One area'))
    const area = BRIEF.precincts[0]!.area
    await user.selectOptions(beside.getByLabelText('Area'), area)
    await user.type(beside.getByLabelText(/What to tell them/), 'The bridge is shut.')
    await submit()
    const codes = BRIEF.precincts.filter(p => p.area === area).map(p => p.code)
    expect(sent.at(-1)!.body).toMatchObject({ to: codes })
  })
})

describe('a precinct’s custody', () => {
  it('is fetched when somebody wants to see it, with each gap in words', async () => {
    const { user, beside } = await desk()
    await user.keyboard('j')
    await user.keyboard('c')
    await user.click(screen.getByRole('button', { name: 'Close' }))
    expect(beside.queryByText('ballot box')).toBeNull()
    await user.click(beside.getByRole('button', { name: 'Show the seals' }))
    expect(await beside.findByText('ballot box')).toBeTruthy()
    expect(beside.getByText(/taken off: E1/)).toBeTruthy()
    expect(beside.getByText('open since then: no new seal is on record')).toBeTruthy()
    expect(beside.getByText('nobody compared this seal in the morning')).toBeTruthy()
  })
})

describe('what a caller says of notices and seals', () => {
  it('is written in by the notice’s words, and with what was done to the seal', async () => {
    const { user, beside, sent } = await desk()
    await user.keyboard('j')
    await user.keyboard('c')
    await user.type(beside.getByLabelText('Who speaks, by role'), 'precinct lead')
    await user.click(beside.getByRole('button', { name: 'Notice read' }))
    await beside.findByRole('option', { name: /Rain until four/ })
    await user.selectOptions(beside.getByLabelText('Which'), '90')
    await user.click(beside.getByRole('button', { name: 'Seal' }))
    await user.selectOptions(beside.getByLabelText('Closes'), 'box')
    await user.type(beside.getByLabelText('Number found'), 'M-7')
    await user.selectOptions(beside.getByLabelText('State'), 'intact')
    await user.selectOptions(beside.getByLabelText(/What was done/), 'put on new')
    await user.click(beside.getByRole('button', { name: 'Record what was said' }))
    expect(sent.at(-1)!.body).toMatchObject({
      precinct: FIRST,
      reports: [
        { kind: 'NoticeAcknowledged', body: { notice: 90 } },
        { kind: 'SealRecorded', body: { container: 'box', found: 'M-7', state: 'intact', act: 'applied' } },
      ],
    })
  })
})
