import { act, cleanup, fireEvent, render, screen, within } from '@testing-library/react'
import userEvent from '@testing-library/user-event'
import { afterEach, describe, expect, it, vi } from 'vitest'
import { Board } from '../../app/desk/board.tsx'
import { announcement } from '../../app/desk/callList.tsx'
import { orderCalls } from '../../app/desk/pick.ts'
import { BoardProvider } from '../../app/live/useBoard.ts'
import type { CallLine } from '../../server/domain/day/row.ts'
import { fromRfc3339, MINUTE } from '../../server/domain/time.ts'
import type { CommandAnswer } from '../../server/protocol/command.ts'
import { aLine, aLink, aPatch, aReason, aRow, aSnapshot, at, NOBODY } from '../support/aBoard.ts'

afterEach(() => {
  cleanup()
  vi.unstubAllGlobals()
})

const done: CommandAnswer = { ok: true, position: 101 }
const mine = { ...NOBODY, takenBy: 'ana', takenAt: at(9, 35) }
const phones = {
  code: 'E-01',
  place: { name: 'Harbor Hall', address: '1 Quay', phone: null },
  contacts: [{ role: 'precinct lead', name: 'Noor Vale', phone: '555-0117' }],
  entries: [],
}

async function desk(calls: CallLine[], answer: (kind: string) => CommandAnswer = () => done, mayAct = true) {
  vi.stubGlobal('fetch', async () => new Response(JSON.stringify(phones)))
  const rows = ['E-01', 'E-02', 'E-03'].map(code => {
    const line = calls.find(l => l.precincts.includes(code))
    return aRow(code, { reasons: line?.reasons ?? [] })
  })
  const made = await aLink(aSnapshot({ calls, rows }), answer)
  render(
    <BoardProvider value={made.link}>
      <Board day="ellery-2026-11-03" me={{ id: 'ana', name: 'Ana' }} mayAct={mayAct} />
    </BoardProvider>,
  )
  return { ...made, user: userEvent.setup() }
}
const card = (name: string) => within(screen.getByRole('article', { name }))

describe('a line of the call list', () => {
  it('says in plain words what is wrong, what to ask, what it costs and for how long', async () => {
    await desk([aLine('E-01')])
    const c = card('Harbor')
    expect(c.getByText('Tabulator down')).toBeTruthy()
    expect(c.getByText('now')).toBeTruthy()
    expect(c.getByText(/down since 09:12, 29 minutes ago\. The emergency slot is open\./)).toBeTruthy()
    expect(c.getByText(/^Ask: .*What does its display say/)).toBeTruthy()
    expect(c.getByText(/1,310 voter-minutes · for 29 min/)).toBeTruthy()
  })

  it('names the other reasons of the same place without saying them all', async () => {
    const more = aReason('E-01', { key: 'slot-in-use:E-01', rule: 'slot-in-use', tier: 'watch' })
    await desk([aLine('E-01', { reasons: [aReason('E-01'), more] })])
    expect(card('Harbor').getByText('Also: slot in use.')).toBeTruthy()
  })

  it('leads to what was kept aside, where that is the matter', async () => {
    const kept = aReason('E-01', { key: 'kept-aside:E-01', rule: 'kept-aside', evidence: { ofEach: ['3'] } })
    const { user } = await desk([aLine('E-01', { reasons: [kept], call: mine })])
    expect(card('Harbor').getByText(/^3 reports of a tablet/)).toBeTruthy()
    await user.click(card('Harbor').getByRole('button', { name: 'Look at what is kept aside' }))
    expect(within(screen.getByRole('complementary')).getByRole('heading', { name: 'Device' })).toBeTruthy()
    cleanup()
    await desk([aLine('E-01', { call: mine })])
    expect(card('Harbor').queryByRole('button', { name: 'Look at what is kept aside' })).toBeNull()
  })

  it('is taken with one press, for all its precincts', async () => {
    const { user, sent } = await desk([aLine('E-01', { key: 'cause', precincts: ['E-01', 'E-02'] })])
    await user.click(card('2 precincts').getByRole('button', { name: 'Take the call' }))
    expect(sent).toMatchObject([{ kind: 'TakeCall', body: { precincts: ['E-01', 'E-02'] } }])
  })

  it('says who has it when the race is lost, and leaves the line as it is', async () => {
    const { user } = await desk([aLine('E-01')], () => ({
      ok: false,
      refusal: { reason: 'already-taken', message: 'taken', by: 'Imre' },
    }))
    await user.click(card('Harbor').getByRole('button', { name: 'Take the call' }))
    expect(await card('Harbor').findByText('Imre has it.')).toBeTruthy()
    expect(card('Harbor').getByRole('button', { name: 'Take the call' })).toBeTruthy()
  })

  it('shows who has a line that somebody else took, and offers no button', async () => {
    const theirs = { ...NOBODY, takenBy: 'imre', takenAt: at(9, 38) }
    await desk([aLine('E-01', { call: theirs, steppedBack: true })])
    const c = card('Harbor')
    expect(c.getByText('Imre has it, 09:38')).toBeTruthy()
    expect(c.queryByRole('button', { name: /Take|Put off|Log/ })).toBeNull()
  })

  it('stays open with the question and the telephone number while it is mine', async () => {
    await desk([aLine('E-01', { call: mine })])
    const c = card('Harbor')
    expect((await c.findByRole('link', { name: '555-0117' })).getAttribute('href')).toBe('tel:555-0117')
    expect(c.getByText(/It ends when the tabulator works again/)).toBeTruthy()
  })

  it('logs how it ended with a note by Ctrl+Enter', async () => {
    const { user, sent } = await desk([aLine('E-01', { call: mine })])
    await user.click(card('Harbor').getByRole('button', { name: 'Log how it ended' }))
    await user.click(card('Harbor').getByLabelText('solved, on their word'))
    await user.type(
      card('Harbor').getByLabelText(/^Note/),
      'Works since the restart{Control>}{Enter}{/Control}',
    )
    expect(sent).toMatchObject([
      { kind: 'LogCall', body: { precincts: ['E-01'], outcome: 'solved', note: 'Works since the restart' } },
    ])
  })

  it('is logged under one id however often it is tried without an answer', async () => {
    const silent: CommandAnswer = { ok: false, refusal: { reason: 'unavailable', message: 'No answer.' } }
    const { user, sent } = await desk([aLine('E-01', { call: mine })], () => silent)
    await user.click(card('Harbor').getByRole('button', { name: 'Log how it ended' }))
    await user.click(card('Harbor').getByLabelText('solved, on their word'))
    await user.click(card('Harbor').getByRole('button', { name: 'Log it' }))
    await user.click(card('Harbor').getByRole('button', { name: 'Log it' }))
    expect(sent).toHaveLength(2)
    expect(sent[1]!.id).toBe(sent[0]!.id)
  })

  it('asks once more before a person is named in the note, though not for a place of the plan', async () => {
    const { user, sent } = await desk([aLine('E-01', { call: mine })])
    await user.click(card('Harbor').getByRole('button', { name: 'Log how it ended' }))
    await user.click(card('Harbor').getByLabelText('solved, on their word'))
    await user.type(card('Harbor').getByLabelText(/^Note/), 'Ann Miller has voted')
    await user.click(card('Harbor').getByRole('button', { name: 'Log it' }))
    expect(card('Harbor').getByRole('alert').textContent).toMatch(/Voters are never named here/)
    expect(sent).toEqual([])
    await user.click(card('Harbor').getByRole('button', { name: 'Write it anyway' }))
    expect(sent).toMatchObject([{ kind: 'LogCall', body: { note: 'Ann Miller has voted' } }])
  })

  it('is put off under one id, and asks before a person is named as the reason', async () => {
    const silent: CommandAnswer = { ok: false, refusal: { reason: 'unavailable', message: 'No answer.' } }
    const { user, sent } = await desk([aLine('E-01')], () => silent)
    const putOff = () => user.click(card('Harbor').getAllByRole('button', { name: 'Put off' }).at(-1)!)
    await putOff()
    await user.type(card('Harbor').getByLabelText('Why'), 'Mrs. Miller calls back')
    await putOff()
    expect(sent).toEqual([])
    await user.click(card('Harbor').getByRole('button', { name: 'Write it anyway' }))
    await putOff()
    expect(sent).toHaveLength(2)
    expect(sent[1]!.id).toBe(sent[0]!.id)
  })

  it('asks for an outcome before it logs anything', async () => {
    const { user, sent } = await desk([aLine('E-01', { call: mine })])
    await user.click(card('Harbor').getByRole('button', { name: 'Log how it ended' }))
    await user.click(card('Harbor').getByRole('button', { name: 'Log it' }))
    expect(card('Harbor').getByRole('alert').textContent).toBe('Choose how it ended.')
    expect(sent).toEqual([])
  })

  it('is put off by as many minutes of day time as were chosen', async () => {
    const { user, sent } = await desk([aLine('E-01')])
    await user.click(card('Harbor').getByRole('button', { name: 'Put off' }))
    await user.selectOptions(card('Harbor').getByLabelText('Put off for'), '20')
    await user.click(card('Harbor').getAllByRole('button', { name: 'Put off' }).at(-1)!)
    expect(sent[0]!.kind).toBe('DeferCall')
    const until = fromRfc3339((sent[0]!.body as { until: string }).until)
    expect(until - at(10, 1)).toBeGreaterThanOrEqual(0)
    expect(until - at(10, 1)).toBeLessThan(MINUTE)
  })

  it('offers nothing to a person who only looks on', async () => {
    const { user, sent } = await desk([aLine('E-01')], undefined, false)
    expect(card('Harbor').queryByRole('button', { name: /Take|Put off/ })).toBeNull()
    await user.keyboard('t')
    expect(sent).toEqual([])
  })

  it('is taken by the key t, the chosen precinct first', async () => {
    const { user, sent } = await desk([aLine('E-01'), aLine('E-02')])
    await user.keyboard('jj')
    await user.keyboard('t')
    expect(sent).toMatchObject([{ kind: 'TakeCall', body: { precincts: ['E-02'] } }])
  })

  it('is taken once however long t is held, and by a capital T as well', async () => {
    const { sent } = await desk([aLine('E-01'), aLine('E-02')])
    fireEvent.keyDown(document.body, { key: 'T' })
    for (let i = 0; i < 5; i++) {
      await act(async () => {})
      fireEvent.keyDown(document.body, { key: 'T', repeat: true })
    }
    expect(sent).toMatchObject([{ kind: 'TakeCall', body: { precincts: ['E-01'] } }])
  })

  it('is asked for one at a time: a second t before the answer asks for nothing', async () => {
    const { sent } = await desk([aLine('E-01'), aLine('E-02')])
    fireEvent.keyDown(document.body, { key: 't' })
    fireEvent.keyDown(document.body, { key: 't' })
    expect(sent).toHaveLength(1)
    await act(async () => {})
    fireEvent.keyDown(document.body, { key: 't' })
    expect(sent).toHaveLength(2)
    await act(async () => {})
  })

  it('says what came of a key for six seconds, then no longer', async () => {
    await desk([])
    vi.useFakeTimers()
    try {
      fireEvent.keyDown(document.body, { key: 't' })
      expect(screen.getByText('No call is free to take.')).toBeTruthy()
      act(() => void vi.advanceTimersByTime(5_900))
      expect(screen.getByText('No call is free to take.')).toBeTruthy()
      act(() => void vi.advanceTimersByTime(200))
      expect(screen.queryByText('No call is free to take.')).toBeNull()
    } finally {
      vi.useRealTimers()
    }
  })

  it('is counted as a call, and explains what a voter-minute is', async () => {
    const { user } = await desk([aLine('E-01')])
    expect(screen.getByText('1 call')).toBeTruthy()
    expect(card('Harbor').getByText(/voter-minutes/).title).toMatch(
      /added up over voters, within the next hour/,
    )
    HTMLDialogElement.prototype.showModal ??= function (this: HTMLDialogElement) {
      this.open = true
    }
    await user.keyboard('?')
    expect(within(screen.getByRole('dialog')).getByText(/expected extra minutes of waiting/)).toBeTruthy()
  })

  it('leaves letters alone while somebody types', async () => {
    const { user, sent } = await desk([aLine('E-01')])
    await user.keyboard('/')
    await user.keyboard('tt')
    expect(sent).toEqual([])
    expect((screen.getByRole('searchbox') as HTMLInputElement).value).toBe('tt')
  })

  it('says plainly that nobody needs a call', async () => {
    await desk([])
    expect(screen.getByText(/Nobody needs a call/)).toBeTruthy()
  })
})

describe('the order of the list', () => {
  it('puts mine first, keeps the order of the others, and what stepped back last', () => {
    const lines = [
      aLine('E-01', { steppedBack: true, call: { ...NOBODY, takenBy: 'imre' } }),
      aLine('E-02'),
      aLine('E-03', { steppedBack: true, call: mine }),
    ]
    expect(orderCalls(lines, 'ana').map(l => l.key)).toEqual(['E-03', 'E-02', 'E-01'])
  })
})

describe('what is said aloud', () => {
  const name = (l: CallLine) => l.key
  it('tells of new lines of stop and now, not of soon, watch or those stepped back', () => {
    const soon = aLine('E-02', { reasons: [aReason('E-02', { tier: 'soon' })] })
    const back = aLine('E-03', { steppedBack: true })
    expect(announcement(new Set(), [aLine('E-01'), soon, back], name)).toBe('New on the call list: E-01.')
    expect(announcement(new Set(['now E-01']), [aLine('E-01'), soon, back], name)).toBe('')
  })

  it('tells again when a line has become graver', () => {
    const graver = aLine('E-01', { reasons: [aReason('E-01', { tier: 'stop' })] })
    expect(announcement(new Set(['now E-01']), [graver], name)).toBe('New on the call list: E-01.')
  })

  it('names at most three and counts the rest', () => {
    const many = ['a', 'b', 'c', 'd', 'e'].map(key => aLine('E-01', { key }))
    expect(announcement(new Set(), many, name)).toBe('New on the call list: a. b. c, and 2 more.')
  })

  it('reaches the polite live region when a patch brings a new line', async () => {
    const { store } = await desk([])
    store.patch(aPatch(100, 101, { calls: [aLine('E-01')] }))
    expect(await screen.findByText('New on the call list: Harbor: Tabulator down.')).toBeTruthy()
  })
})
