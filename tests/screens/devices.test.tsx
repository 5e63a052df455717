import { cleanup, render, screen, within } from '@testing-library/react'
import userEvent from '@testing-library/user-event'
import { afterEach, describe, expect, it, vi } from 'vitest'
import { Board } from '../../app/desk/board.tsx'
import { BoardProvider } from '../../app/live/useBoard.ts'
import type { BoardRow } from '../../server/domain/day/row.ts'
import { toRfc3339 } from '../../server/domain/time.ts'
import type { AsideAnswer } from '../../server/protocol/aside.ts'
import type { CommandAnswer } from '../../server/protocol/command.ts'
import { aLink, aRow, aSnapshot, at } from '../support/aBoard.ts'

afterEach(() => {
  cleanup()
  vi.unstubAllGlobals()
})

type Report = AsideAnswer['reports'][number]
const aReport = (number: number, changes: Partial<Report> = {}): Report => ({
  device: 'd-old',
  number,
  content: number * 11,
  label: 'front table',
  why: 'replaced',
  kind: 'LineReported',
  body: { inLine: 20 + number },
  occurredAt: toRfc3339(at(8, number)),
  receivedAt: toRfc3339(at(9, 30)),
  problems: [],
  ...changes,
})
const aDevice = (id: string, changes: object = {}) => ({
  id,
  day: 'ellery-2026-11-03',
  precinct: 'E-03',
  label: 'front table',
  enrolledAt: 1,
  revokedAt: null,
  replacedAt: null,
  ...changes,
})

/** The drawer of E-03, the first by name; `aside` is asked for anew after each answer. */
async function drawer(given: {
  aside?: () => Report[]
  devices?: object[]
  row?: Partial<BoardRow>
  answer?: (kind: string) => CommandAnswer
  mayAct?: boolean
}) {
  const asked: string[] = []
  vi.stubGlobal('fetch', async (url: string) => {
    asked.push(url)
    if (url.endsWith('/aside')) {
      const reports = given.aside?.() ?? []
      return new Response(JSON.stringify({ open: reports.length, reports }))
    }
    if (url.includes('/devices?precinct=E-03'))
      return new Response(JSON.stringify({ devices: given.devices ?? [], refused: [] }))
    return new Response('{}', { status: 503 })
  })
  const rows = ['E-01', 'E-02', 'E-03'].map(code => aRow(code, code === 'E-03' ? given.row : {}))
  const answer = given.answer ?? (() => ({ ok: true, position: 101 }) as const)
  const made = await aLink(aSnapshot({ rows }), answer)
  render(
    <BoardProvider value={made.link}>
      <Board day="ellery-2026-11-03" me={{ id: 'imre', name: 'Imre' }} mayAct={given.mayAct ?? true} />
    </BoardProvider>,
  )
  const user = userEvent.setup()
  await user.keyboard('j{Enter}')
  const beside = within(screen.getByRole('complementary'))
  return { ...made, user, beside, asked }
}

const aside = (beside: Awaited<ReturnType<typeof drawer>>['beside']) =>
  beside.findByRole('region', { name: /^Kept aside/ }).then(section => within(section))
const button = (name: string) => ({ name }) as const

describe('what was kept aside', () => {
  it('is shown in words with its time, and the chosen ones are accepted or left', async () => {
    let reports = [1, 2, 3, 4].map(n => aReport(n))
    const { beside, user, sent } = await drawer({ aside: () => reports })
    const list = await aside(beside)
    expect(list.getByRole('heading').textContent).toBe(
      'Kept aside: 4 reports of the tablet that was replaced',
    )
    expect(list.getAllByRole('checkbox').map(box => box.closest('label')!.textContent!.trim())).toEqual([
      '08:01 Line: 21 waiting',
      '08:02 Line: 22 waiting',
      '08:03 Line: 23 waiting',
      '08:04 Line: 24 waiting',
    ])
    await user.click(list.getByRole('button', button('Accept the chosen')))
    expect(list.getByText('Choose reports first.')).toBeTruthy()
    expect(sent).toEqual([])
    await user.click(list.getAllByRole('checkbox')[0]!)
    await user.click(list.getAllByRole('checkbox')[2]!)
    reports = [aReport(2), aReport(4)]
    await user.click(list.getByRole('button', button('Accept the chosen')))
    expect(sent).toMatchObject([
      {
        kind: 'AcceptAside',
        body: {
          precinct: 'E-03',
          reports: [
            { device: 'd-old', number: 1, content: 11 },
            { device: 'd-old', number: 3, content: 33 },
          ],
        },
      },
    ])
    expect(await list.findByText('Accepted: 2 reports.')).toBeTruthy()
    expect(list.getAllByRole('checkbox')).toHaveLength(2)
    await user.click(list.getByRole('button', button('Choose all that fit')))
    reports = []
    await user.click(list.getByRole('button', button('Leave the chosen out')))
    expect(sent[1]).toMatchObject({ kind: 'LeaveAside', body: { reports: [{ number: 2 }, { number: 4 }] } })
    expect(await list.findByText('Left out: 2 reports.')).toBeTruthy()
    expect(list.queryAllByRole('checkbox')).toEqual([])
  })

  it('says why one can’t be accepted, and where a number came before with other content', async () => {
    const bad = { kind: 'VotesCounted', body: {}, problems: [{ path: 'kind', message: 'unknown kind' }] }
    const reports = [aReport(1, bad), aReport(2, { why: 'number-reused' })]
    const { beside, user } = await drawer({ aside: () => reports })
    const list = await aside(beside)
    expect(list.getByRole('heading').textContent).toBe('Kept aside: 2 reports')
    expect(list.getByText(/It can’t be accepted: unknown kind/)).toBeTruthy()
    expect(list.getByText(/its number 2 came before with other content/)).toBeTruthy()
    await user.click(list.getByRole('button', button('Choose all that fit')))
    expect(list.getAllByRole('checkbox').map(box => (box as HTMLInputElement).checked)).toEqual([false, true])
  })

  it('a refusal is told, and what was chosen stays chosen', async () => {
    const refusal = { reason: 'other-state', message: 'Ana had left number 1 before' } as const
    const { beside, user } = await drawer({
      aside: () => [aReport(1)],
      answer: () => ({ ok: false, refusal }),
    })
    const list = await aside(beside)
    await user.click(list.getByRole('checkbox'))
    await user.click(list.getByRole('button', button('Accept the chosen')))
    expect(await list.findByText('Ana had left number 1 before')).toBeTruthy()
    expect((list.getByRole('checkbox') as HTMLInputElement).checked).toBe(true)
  })

  it('P14: is not asked for by who only looks on', async () => {
    const { beside, asked } = await drawer({ aside: () => [aReport(1)], mayAct: false })
    await beside.findByRole('heading', { name: 'Device' })
    expect(asked.filter(url => url.endsWith('/aside'))).toEqual([])
    expect(beside.queryByText(/Kept aside/)).toBeNull()
  })
})

describe('a code for a tablet', () => {
  const answer = () => ({ ok: true, position: 100, result: { code: 'ABCDE-FGHJK' } }) as const
  const issue = button('Issue an enrolment code')

  it('is issued at once where the precinct has none in use', async () => {
    const gone = [aDevice('d-1', { revokedAt: 5 }), aDevice('d-2', { replacedAt: 5 })]
    const { beside, user, sent } = await drawer({ devices: gone, answer })
    await user.click(beside.getByRole('button', issue))
    expect(await beside.findByText('ABCDE-FGHJK')).toBeTruthy()
    expect(sent).toMatchObject([{ kind: 'IssueCode', body: { precinct: 'E-03' } }])
  })

  it('takes the place of the only tablet where that is silent; else it is one more, unless the desk says so', async () => {
    const silent = await drawer({ devices: [aDevice('d-1')], row: { heardAt: at(9, 0) }, answer })
    await silent.user.click(silent.beside.getByRole('button', issue))
    const choices = await silent.beside.findAllByRole('radio')
    expect(
      choices.map(c => [c.closest('label')!.textContent!.trim(), (c as HTMLInputElement).checked]),
    ).toEqual([
      ['It takes the place of front table', true],
      ['It is one more', false],
    ])
    await silent.user.click(silent.beside.getByRole('button', button('Issue the code')))
    expect(silent.sent).toMatchObject([{ kind: 'IssueCode', body: { precinct: 'E-03', replaces: 'd-1' } }])
    expect(await silent.beside.findByText('ABCDE-FGHJK')).toBeTruthy()
    cleanup()

    const heard = await drawer({
      devices: [aDevice('d-1'), aDevice('d-2')],
      row: { heardAt: at(9, 41) },
      answer,
    })
    await heard.user.click(heard.beside.getByRole('button', issue))
    expect((await heard.beside.findAllByRole('radio')).map(c => (c as HTMLInputElement).checked)).toEqual([
      false,
      false,
      true,
    ])
    await heard.user.click(
      heard.beside.getByRole('radio', { name: /^It takes the place of front table \(number …d-2/ }),
    )
    expect(heard.beside.getByText(/what the old tablet says is kept aside until you accept it/)).toBeTruthy()
    await heard.user.click(heard.beside.getByRole('button', button('Issue the code')))
    expect(heard.sent).toMatchObject([{ body: { replaces: 'd-2' } }])
  })
})

describe('revoking', () => {
  it('ends the device that is chosen by name, not the one that happens to be heard', async () => {
    const devices = [
      aDevice('d-live', { label: 'front table' }),
      aDevice('d-lost', { label: '', enrolledAt: at(5, 36) }),
      aDevice('d-old', { label: 'side door', replacedAt: at(7, 2) }),
      aDevice('d-gone', { label: 'spare', revokedAt: at(7, 3) }),
    ]
    const device = { id: 'd-live', battery: 80, charging: false, waiting: 0, skewSeconds: 0 }
    const { beside, user, sent } = await drawer({ devices, row: { device, heardAt: at(9, 41) } })
    await user.click(beside.getByRole('button', button('Revoke the device')))
    const asked = within(await beside.findByRole('region', { name: 'Revoke the device?' }))
    expect(asked.getAllByRole('radio').map(r => r.closest('label')!.textContent!.trim())).toEqual([
      'front table (heard 09:41, battery 80%)',
      'a tablet without a name (enrolled 05:36)',
      'side door (replaced)',
    ])
    expect((asked.getByRole('button', button('Revoke')) as HTMLButtonElement).disabled).toBe(true)
    await user.click(asked.getByRole('radio', { name: /^a tablet without a name/ }))
    await user.click(asked.getByRole('button', button('Revoke')))
    expect(sent).toMatchObject([{ kind: 'RevokeDevice', body: { device: 'd-lost' } }])
  })
})
