import { cleanup, render, screen, within } from '@testing-library/react'
import userEvent from '@testing-library/user-event'
import { afterEach, describe, expect, it, vi } from 'vitest'
import { Board } from '../../app/desk/board.tsx'
import { type CallDraft, problemsFromServer, readCall, type Said } from '../../app/desk/caller/said.ts'
import { SAYINGS } from '../../app/desk/caller/sayings.ts'
import { BoardProvider } from '../../app/live/useBoard.ts'
import type { CommandAnswer } from '../../server/protocol/command.ts'
import { aLink, aSnapshot, at, BRIEF } from '../support/aBoard.ts'
import { type PrecinctKind, precinctKindNames } from '../support/precinctKindNames.ts'

afterEach(() => {
  cleanup()
  vi.unstubAllGlobals()
})

const said = (kind: PrecinctKind, values: Said['values'] = {}, time = '', id = '1'): Said => ({
  id,
  kind,
  at: time,
  values,
})
const call = (...things: Said[]): CallDraft => ({
  via: 'caller',
  spoke: 'precinct lead',
  at: '',
  said: things,
})
const read = (draft: CallDraft, precinct = 'E-01') => readCall(draft, BRIEF, precinct, at(9, 41))
const reports = (draft: CallDraft, precinct = 'E-01') => {
  const r = read(draft, precinct)
  if (!r.ok) throw new Error(JSON.stringify(r.problems))
  return r.body.reports
}
const problems = (draft: CallDraft, precinct = 'E-01') => {
  const r = read(draft, precinct)
  return r.ok ? {} : r.problems
}

describe('reading what a caller says', () => {
  it('makes one report of each thing said, in order', () => {
    const draft = call(
      said('TeamReported', { present: '7', missing: '1 greeter, 2 check-in' }),
      said('PollsOpened', { withSlot: 'yes' }, '', '2'),
    )
    expect(reports(draft)).toEqual([
      {
        kind: 'TeamReported',
        body: {
          present: 7,
          missing: [
            { role: 'greeter', howMany: 1 },
            { role: 'check-in', howMany: 2 },
          ],
        },
      },
      { kind: 'PollsOpened', body: { withSlot: true } },
    ])
  })

  it('leaves the time to the server when it happened now, and gives the county time as an instant else', () => {
    expect(reports(call(said('PollsOpened')))[0]!.at).toBeUndefined()
    expect(reports({ ...call(said('PollsOpened')), at: '06:32' })[0]!.at).toBe('2026-11-03T11:32:00.000Z')
    expect(reports({ ...call(said('PollsOpened', {}, '6:35')), at: '06:32' })[0]!.at).toBe(
      '2026-11-03T11:35:00.000Z',
    )
  })

  it('refuses a time later than now or none at all, beside its field', () => {
    expect(problems({ ...call(said('PollsOpened')), at: '09:50' })).toEqual({ at: 'later than now (09:41)' })
    expect(problems(call(said('PollsOpened', {}, '25:00')))).toEqual({
      '1.at': 'a time as HH:MM, on 24 hours',
    })
  })

  it('asks who speaks and for at least one thing said', () => {
    expect(problems({ via: 'paper', spoke: ' ', at: '', said: [] })).toEqual({
      spoke: 'who speaks, by role',
      said: 'choose at least one thing that was said',
    })
  })

  it('names every field that is missing or not a whole number', () => {
    expect(problems(call(said('TeamReported', { present: 'seven', missing: 'a greeter' })))).toEqual({
      '1.present': 'a whole number, 0 or more',
      '1.missing': 'how many, then the role: 1 greeter, 2 check-in',
    })
    expect(problems(call(said('ClosingTapeSigned')), 'E-02')).toEqual({
      '1.tabulator': 'needed',
      '1.publicCount': 'needed',
    })
  })

  it('takes the only tabulator for granted, and asks which where there are two', () => {
    expect(reports(call(said('OpeningTapeVerified')))[0]!.body).toEqual({ tabulator: 'T-01' })
    expect(problems(call(said('OpeningTapeVerified')), 'E-02')).toEqual({ '1.tabulator': 'needed' })
  })

  it('makes as many reports of several steps', () => {
    const [first, second] = BRIEF.steps.filter(s => s.completedBy === 'step')
    const made = reports(call(said('StepCompleted', { step: [first!.code, second!.code], byTwo: 'yes' })))
    expect(made.map(r => r.body)).toEqual([
      { step: first!.code, byTwo: true },
      { step: second!.code, byTwo: true },
    ])
  })

  it('keeps public counts by tabulator, only those that were said', () => {
    const counts = said('CountsReported', { checkedIn: '612', 'publicCount.T-12': '298' })
    expect(reports(call(counts), 'E-02')[0]!.body).toEqual({ checkedIn: 612, publicCount: { 'T-12': 298 } })
  })

  it('wants at least one count', () => {
    expect(problems(call(said('CountsReported')))).toEqual({ '1': 'Give at least one count.' })
  })

  it('says plainly what a schema found', () => {
    expect(problems(call(said('LineReported', { inLine: '9999999' })))).toEqual({
      '1.inLine': expect.stringMatching(/^At most [\d,]+\.$/),
    })
    const found = problemsFromServer([{ path: 'reports.0.body.inLine', message: 'at most 1000000' }], ['1'])
    expect(found).toEqual({ '1.inLine': 'At most 1,000,000.' })
  })

  it('splits items and seals at commas', () => {
    const left = said('ReturnDeparted', { carriers: '2', items: 'box, memory', seals: 'S-9\nS-10' })
    expect(reports(call(left))[0]!.body).toEqual({
      carriers: 2,
      items: ['box', 'memory'],
      seals: ['S-9', 'S-10'],
    })
    expect(problems(call(said('ReturnDeparted', { carriers: '2', items: 'big box', seals: '' })))).toEqual({
      '1.items': 'letters, digits, dot, dash or underscore',
    })
  })

  it('offers every kind that a precinct can report but the heartbeat', () => {
    const offered = new Set<string>(SAYINGS.map(s => s.kind))
    expect(precinctKindNames.filter(k => !offered.has(k))).toEqual(['HeartbeatReceived'])
  })

  it('puts what the server found beside the field of the thing said', () => {
    const found = problemsFromServer(
      [
        { path: 'reports.1.body.present', message: 'too many' },
        { path: 'reports.0.at', message: 'before the day' },
        { path: 'spoke', message: 'too long' },
        { path: 'precinct', message: 'unknown' },
      ],
      ['7', '9'],
    )
    expect(found).toEqual({
      '9.present': 'too many',
      '7.at': 'before the day',
      spoke: 'too long',
      said: 'unknown',
    })
  })
})

describe('the caller’s form', () => {
  async function opened(answer: () => CommandAnswer = () => ({ ok: true, position: 101 }), now = at(9, 41)) {
    vi.stubGlobal('fetch', async () => new Response('{}', { status: 503 }))
    const made = await aLink(aSnapshot({ now }), answer)
    render(
      <BoardProvider value={made.link}>
        <Board day="ellery-2026-11-03" me={{ id: 'ana', name: 'Ana' }} mayAct={true} />
      </BoardProvider>,
    )
    const user = userEvent.setup()
    await user.keyboard('j')
    await user.keyboard('c')
    return { ...made, user, beside: within(screen.getByRole('complementary')) }
  }

  it('opens by the key c for the chosen precinct, with the focus on its heading', async () => {
    const { beside } = await opened()
    expect(document.activeElement).toBe(beside.getByRole('heading', { name: /^Written in for/ }))
  })

  it('sends what was said and says so', async () => {
    const { user, beside, sent } = await opened()
    await user.type(beside.getByLabelText('Who speaks, by role'), 'precinct lead')
    await user.click(beside.getByRole('button', { name: 'Line' }))
    await user.type(beside.getByLabelText('In line'), '57')
    await user.click(beside.getByRole('button', { name: 'Record what was said' }))
    expect(sent).toMatchObject([
      {
        kind: 'RecordReports',
        body: {
          via: 'caller',
          spoke: 'precinct lead',
          reports: [{ kind: 'LineReported', body: { inLine: 57 } }],
        },
      },
    ])
    expect(await beside.findByText(/^Written in for .*: 1 entry\.$/)).toBeTruthy()
  })

  it('shows problems beside their fields, moves to the first and sends nothing', async () => {
    const { user, beside, sent } = await opened()
    await user.click(beside.getByRole('button', { name: 'Line' }))
    await user.click(beside.getByRole('button', { name: 'Record what was said' }))
    const field = beside.getByLabelText('In line')
    expect(field.getAttribute('aria-invalid')).toBe('true')
    expect(document.getElementById(field.getAttribute('aria-describedby')!)!.textContent).toBe('needed')
    expect(beside.getByText('2 fields need another look.')).toBeTruthy()
    await vi.waitFor(() => expect(document.activeElement).toBe(beside.getByLabelText(/^Who speaks/)))
    expect(sent).toEqual([])
  })

  it('shows what the server refused beside the field', async () => {
    const { user, beside } = await opened(() => ({
      ok: false,
      refusal: {
        reason: 'invalid',
        message: 'Some of it can’t be recorded.',
        problems: [{ path: 'reports.0.body.inLine', message: 'more than registered' }],
      },
    }))
    await user.type(beside.getByLabelText('Who speaks, by role'), 'worker')
    await user.click(beside.getByRole('button', { name: 'Line' }))
    await user.type(beside.getByLabelText('In line'), '57')
    await user.click(beside.getByRole('button', { name: 'Record what was said' }))
    expect(await beside.findByText('more than registered')).toBeTruthy()
    expect(beside.getByText('Some of it can’t be recorded.')).toBeTruthy()
  })

  it('says the date of a time after midnight, and sends that', async () => {
    const { user, beside, sent } = await opened(undefined, at(24, 40))
    await user.type(beside.getByLabelText('Who speaks, by role'), 'precinct lead')
    const when = beside.getByLabelText('When it happened')
    await user.type(when, '00:20')
    expect(document.getElementById(when.getAttribute('aria-describedby')!)!.textContent).toBe('on Wed, Nov 4')
    await user.click(beside.getByRole('button', { name: 'Polls closed' }))
    await user.click(beside.getByRole('button', { name: 'Record what was said' }))
    expect(sent).toMatchObject([{ body: { reports: [{ at: '2026-11-04T05:20:00.000Z' }] } }])
  })

  it('tries again under the same id until an answer came, even closed and opened between', async () => {
    const answers: CommandAnswer[] = [
      { ok: false, refusal: { reason: 'unavailable', message: 'No answer from the server.' } },
      { ok: false, refusal: { reason: 'invalid', message: 'Not yet.' } },
      { ok: true, position: 101 },
    ]
    const { user, beside, sent } = await opened(() => answers.shift()!)
    const record = () => user.click(beside.getByRole('button', { name: 'Record what was said' }))
    await user.type(beside.getByLabelText('Who speaks, by role'), 'worker')
    await user.click(beside.getByRole('button', { name: 'Polls opened' }))
    await record()
    expect(await beside.findByText(/No answer .*never recorded twice/)).toBeTruthy()
    await user.click(beside.getByRole('button', { name: 'Close' }))
    await user.keyboard('c')
    await record()
    expect(await beside.findByText('Not yet.')).toBeTruthy()
    await record()
    expect(sent[1]!.id).toBe(sent[0]!.id)
    expect(sent[2]!.id).not.toBe(sent[0]!.id)
  })

  it('asks once more before words that look like a person are written', async () => {
    const { user, beside, sent } = await opened()
    const record = () => user.click(beside.getByRole('button', { name: 'Record what was said' }))
    await user.type(beside.getByLabelText('Who speaks, by role'), 'worker')
    await user.click(beside.getByRole('button', { name: 'Incident' }))
    await user.selectOptions(beside.getByLabelText('About'), 'access')
    const what = beside.getByLabelText(/^What happened/)
    await user.type(what, '5558675309, ann miller')
    await record()
    expect(beside.getByText(/looks like a person’s name, phone or address\. Voters are never/)).toBeTruthy()
    expect(sent).toEqual([])
    await user.type(what, ' called')
    expect(beside.queryByText(/looks like a person/)).toBeNull()
    await record()
    expect(sent).toEqual([])
    await user.click(beside.getByRole('button', { name: 'Write it anyway' }))
    expect(sent).toMatchObject([{ body: { reports: [{ body: { what: '5558675309, ann miller called' } }] } }])
  })

  it('keeps what was typed when it is closed and opened again', async () => {
    const { user, beside } = await opened()
    await user.click(beside.getByRole('button', { name: 'Line' }))
    await user.type(beside.getByLabelText('In line'), '57')
    await user.keyboard('{Escape}')
    expect(beside.queryByLabelText('In line')).toBeNull()
    await user.keyboard('c')
    expect((beside.getByLabelText('In line') as HTMLInputElement).value).toBe('57')
  })
})
