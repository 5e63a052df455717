import { cleanup, render, screen, waitFor, within } from '@testing-library/react'
import userEvent from '@testing-library/user-event'
import { useSyncExternalStore } from 'react'
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import type { Outbox } from '../../../app/live/outbox.ts'
import { AskTwo } from '../../../app/precinct/asking/AskTwo.tsx'
import { Reporting } from '../../../app/precinct/Reporting.tsx'
import { sealPrint } from '../../../server/domain/plan/sealPrint.ts'
import type { DevicePlan } from '../../../server/protocol/device.ts'
import { handOffice } from '../../support/outboxHands.ts'
import { aDevicePlan, aLink, anOutboxTo, OPENS } from './given.ts'

afterEach(cleanup)
beforeEach(() => {
  vi.spyOn(window, 'scrollTo').mockImplementation(() => undefined)
  history.replaceState(null, '', '/precinct')
})

function Page({ outbox, plan }: { outbox: Outbox; plan: DevicePlan }) {
  const box = useSyncExternalStore(outbox.subscribe, outbox.state)
  return (
    <Reporting
      plan={plan}
      session={{
        link: { ...aLink(plan) },
        box,
        unsafe: false,
        wall: OPENS,
        say: (kind, body) => outbox.say(kind, body),
        mend: (of, kind, body) => outbox.mend(of, kind, body),
        leave: of => outbox.leave(of),
      }}
    />
  )
}

async function at(address: string, plan: DevicePlan) {
  const office = handOffice()
  history.replaceState(null, '', `/precinct#${address}`)
  render(<Page outbox={await anOutboxTo(office)} plan={plan} />)
  const user = userEvent.setup()
  const tap = (name: string | RegExp) => user.click(screen.getByRole('button', { name }))
  return { office, user, tap }
}

describe('the expected number', () => {
  const EXPECTED = 'E480112'
  it('is nowhere on the page, neither before nor after a number was typed', async () => {
    const plan = aDevicePlan()
    plan.sealPrints = { 'ballot-box': sealPrint(plan.day, 'ballot-box', EXPECTED) }
    const { user, tap, office } = await at('seals', plan)
    const nowhere = () => expect(document.documentElement.outerHTML.toUpperCase()).not.toContain(EXPECTED)
    nowhere()
    await tap(/^ballot box/)
    nowhere()
    for (const typed of ['E480113', 'E480114']) {
      await user.type(screen.getByRole('textbox'), typed)
      await tap('Next')
      nowhere()
    }
    await tap('In place and whole')
    await screen.findByRole('heading', { name: 'Do not go on with the ballot box' })
    nowhere()
    await waitFor(() => expect(office.had).toMatchObject([{ body: { found: 'E480114' } }]))
    await tap('Done')
    screen.getByRole('button', { name: /ballot box.*not right/ })
    nowhere()
  })
})

describe('a step with a guide', () => {
  function boxPlan(): DevicePlan {
    const plan = aDevicePlan({ steps: ['team', 'seals'] })
    plan.steps = plan.steps.map(s => (s.code === 'box' ? { ...s, guide: 'box' as const, byTwo: true } : s))
    return plan
  }

  it('shows its drawing, what is done and what must be seen, and is confirmed by two', async () => {
    const { tap, user, office } = await at('flow/step/box', boxPlan())
    screen.getByRole('heading', { name: 'Do box' })
    screen.getByRole('img', { name: 'An empty ballot box seen from above, its lid open' })
    screen.getByText(/Two people look in/)
    screen.getByText('Every part is empty. Every lid is locked.')
    await tap('Yes, it is so')
    for (const name of [/^First person/, /^Second person/, 'We are of different parties'])
      await user.click(screen.getByRole('checkbox', { name }))
    await tap('Both confirmed: go on')
    await waitFor(() =>
      expect(office.had).toMatchObject([{ body: { step: 'box', byTwo: true, partiesDiffer: true } }]),
    )
    await tap('Done')
    const done = screen.getByRole('heading', { name: 'Done' }).closest('section')!
    expect(
      within(done)
        .getByText(/Do box/)
        .closest('li')!
        .querySelector('time')!.textContent,
    ).toMatch(/^\d+:\d\d$/)
  })

  it('that is not so: one remedy at a time, then the office has it and must be called', async () => {
    const { tap, office } = await at('flow/step/box', boxPlan())
    await tap('It is not so')
    await tap('The ballot box does not lock')
    screen.getByRole('heading', { name: /^Press every lid and flap shut/ })
    screen.getByRole('img', { name: /closed and locked/ })
    await tap('No, it is not')
    screen.getByRole('heading', { name: /^Try the other keys/ })
    await tap('No, it is not')
    await screen.findByRole('heading', { name: 'Call the office now' })
    await screen.findByText('They have it already: the ballot box does not lock.')
    screen.getByText('Polls still open at 6:30.')
    expect(screen.getByRole('link', { name: /555-0199/ }).getAttribute('href')).toBe('tel:555-0199')
    expect(office.had).toMatchObject([
      { kind: 'HelpRequested', body: { about: 'custody', step: 'box', trouble: 'box-not-locking' } },
    ])
    await tap('Back to the step')
    screen.getByRole('heading', { name: 'Do box' })
    screen.getByRole('button', { name: 'Yes, it is so' })
  })
})

describe('two people', () => {
  function asked(twoParties: boolean) {
    const onAnswer = vi.fn()
    render(
      <AskTwo
        question={{ id: 'two', kind: 'two', ask: 'Together' }}
        error={null}
        busy={false}
        twoParties={twoParties}
        known={[]}
        onAnswer={onAnswer}
        onChoice={() => undefined}
      />,
    )
    const user = userEvent.setup()
    const tick = (name: string | RegExp) => user.click(screen.getByRole('checkbox', { name }))
    const go = () => user.click(screen.getByRole('button', { name: 'Both confirmed: go on' }))
    return { onAnswer, tick, go }
  }

  it('confirm each for themselves; one tick is not enough', async () => {
    const { onAnswer, tick, go } = asked(true)
    await tick(/^First/)
    await go()
    expect(onAnswer).not.toHaveBeenCalled()
    expect(screen.getByRole('alert').textContent).toContain('Both must confirm')
    await tick(/^Second/)
    await go()
    expect(onAnswer).toHaveBeenCalledWith('two-unsaid')
    await tick('We are of different parties')
    await go()
    expect(onAnswer).toHaveBeenLastCalledWith('two-differ')
  })

  it('are not asked about parties where the county asks for none', async () => {
    const { onAnswer, tick, go } = asked(false)
    expect(screen.getAllByRole('checkbox')).toHaveLength(2)
    await tick(/^First/)
    await tick(/^Second/)
    await go()
    expect(onAnswer).toHaveBeenCalledWith('two')
  })
})
