import { cleanup, render, screen } from '@testing-library/react'
import userEvent from '@testing-library/user-event'
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import type { SayOutcome } from '../../../app/live/outbox.ts'
import type { KeptReport } from '../../../app/live/outboxStore.ts'
import { Conversation } from '../../../app/precinct/asking/Conversation.tsx'
import type { ToSay } from '../../../app/precinct/asking/question.ts'
import { flowOf } from '../../../app/precinct/flows/flows.ts'
import type { DevicePlan } from '../../../server/protocol/device.ts'
import { aDevicePlan, around, said } from './given.ts'

afterEach(cleanup)
beforeEach(() => {
  vi.spyOn(window, 'scrollTo').mockImplementation(() => undefined)
})

/** A conversation whose n-th report can't be saved, once. */
function talk(name: string, plan: DevicePlan, { reports = [] as KeptReport[], fails = 0 } = {}) {
  const sent: ToSay[] = []
  let calls = 0
  render(
    <Conversation
      flow={flowOf(name, undefined)!}
      around={around(plan, reports)}
      say={async (report): Promise<SayOutcome> => {
        calls += 1
        if (calls === fails) return { ok: false, why: 'storage', message: 'busy' }
        sent.push(report)
        return { ok: true, number: sent.length }
      }}
      leave={() => undefined}
      go={() => undefined}
      allHeard
    />,
  )
  const user = userEvent.setup()
  const tap = (label: string | RegExp) => user.click(screen.getByRole('button', { name: label }))
  const field = () => screen.getByRole<HTMLTextAreaElement>('textbox')
  return { sent, user, tap, field }
}

const open = () => aDevicePlan({ polls: 'open' })

describe('a report that could not be saved', () => {
  /** The box is opened by two, with a new seal: two reports, of which the second fails at first. */
  async function box() {
    const t = talk('box', open(), { fails: 2 })
    await t.tap('To straighten ballots')
    for (const tick of screen.getAllByRole('checkbox')) await t.user.click(tick)
    await t.tap('Both confirmed: go on')
    await t.tap('Yes, a new seal is on')
    await t.user.type(t.field(), 'E7')
    await t.tap('Next')
    await t.tap('Nothing more')
    await screen.findByText(/could not save it \(busy\)/)
    return t
  }

  it('is said alone, once, where the answers stayed', async () => {
    const { sent, tap } = await box()
    await tap('Nothing more')
    await screen.findByRole('heading', { name: 'Opening of the ballot box is on record' })
    expect(sent.map(r => r.kind)).toEqual(['BallotBoxOpened', 'SealRecorded'])
  })

  it('leaves none out when an answer was changed: what says something else is said too', async () => {
    const { sent, tap, user, field } = await box()
    await user.type(field(), 'a hinge is loose')
    await tap('Next')
    await screen.findByRole('heading', { name: 'Opening of the ballot box is on record' })
    expect(sent.map(r => [r.kind, r.body.note])).toEqual([
      ['BallotBoxOpened', undefined],
      ['BallotBoxOpened', 'a hinge is loose'],
      ['SealRecorded', undefined],
    ])
  })
})

describe('where the team goes', () => {
  it('takes an address, and warns of a person’s name all the same', async () => {
    const { sent, tap, user, field } = talk('move', open())
    await tap('A threat')
    await user.type(field(), 'Ann Miller, 12 Mill Street')
    await tap('Next')
    screen.getByText(/looks like a person’s name/)
    await user.clear(field())
    await user.type(field(), 'the gym, 12 Mill Street')
    await tap('Next')
    await screen.findByRole('heading', { name: 'The office is told that you move' })
    expect(sent).toMatchObject([{ body: { to: 'the gym, 12 Mill Street' } }])
  })
})

describe('the seals of the return', () => {
  const plan = () => ({ ...open(), closingContainers: ['return-bag', 'memory-device'] })
  const put = (container: string, found: string, act = 'applied') =>
    said('SealRecorded', { container, found, state: 'intact', act })
  const reports = [
    put('return-bag', 'R1'),
    put('return-bag', 'R1', 'removed'),
    put('return-bag', 'R2'),
    put('memory-device', 'M1'),
    put('ballot-box', 'B1'),
  ]

  it('are those put on today, and a line that is no number is named and sent nowhere', async () => {
    const { sent, tap, user, field } = talk('depart', plan(), { reports })
    await tap('1')
    await tap('Next')
    await tap('None of these')
    expect(field().value).toBe('R2\nM1')
    const long = 'R2 and M1 and the one on the black case 77'
    await user.type(field(), `{Enter}${long}`)
    await tap('Next')
    expect(screen.getByRole('alert').textContent).toContain(`not one seal number: ${long}`)
    expect(sent).toEqual([])
    await user.clear(field())
    await user.type(field(), 'R2{Enter}{Enter} M1 ')
    await tap('Next')
    await screen.findByRole('heading', { name: 'The office expects your return' })
    expect(sent).toMatchObject([{ kind: 'ReturnDeparted', body: { seals: ['R2', 'M1'] } }])
  })
})
