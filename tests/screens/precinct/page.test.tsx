import { cleanup, render, screen, waitFor, within } from '@testing-library/react'
import userEvent from '@testing-library/user-event'
import { useSyncExternalStore } from 'react'
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import type { EnrolOutcome } from '../../../app/live/deviceEnrol.ts'
import type { Outbox } from '../../../app/live/outbox.ts'
import { Enrol } from '../../../app/precinct/Enrol.tsx'
import { Reporting } from '../../../app/precinct/Reporting.tsx'
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

async function thePage(plan = aDevicePlan(), office = handOffice()) {
  const outbox = await anOutboxTo(office)
  render(<Page outbox={outbox} plan={plan} />)
  const user = userEvent.setup()
  const tap = (name: string | RegExp) => user.click(screen.getByRole('button', { name }))
  return { office, outbox, user, tap }
}

describe('enrolling', () => {
  function theForm(outcome: EnrolOutcome) {
    const enrol = vi.fn(async () => outcome)
    const onEnrolled = vi.fn()
    render(<Enrol enrol={enrol} onEnrolled={onEnrolled} />)
    return { enrol, onEnrolled, user: userEvent.setup() }
  }
  async function send(user: ReturnType<typeof userEvent.setup>, code: string) {
    if (code) await user.type(screen.getByLabelText('Code'), code)
    await user.click(screen.getByRole('button', { name: 'Enrol' }))
  }
  const described = () => {
    const field = screen.getByLabelText('Code')
    const ids = field.getAttribute('aria-describedby')!.split(' ')
    return { field, text: ids.map(id => document.getElementById(id)?.textContent).join(' ') }
  }

  it('says a used or wrong code beside the field, in the page’s own words', async () => {
    const { user } = theForm({ ok: false, why: 'code', reason: 'used-code', message: 'of the office' })
    await send(user, 'abcde-fghjk')
    await waitFor(() => expect(described().text).toContain('This code was used before.'))
    expect(described().text).not.toContain('of the office')
  })

  it('says a reason that it does not know in the office’s words', async () => {
    const { user } = theForm({ ok: false, why: 'code', reason: '', message: 'That code has been used.' })
    await send(user, 'abcde-fghjk')
    await waitFor(() => expect(described().text).toContain('That code has been used.'))
    expect(described().field).toHaveProperty('ariaInvalid', 'true')
    expect(document.activeElement).toBe(described().field)
  })

  it('does not ask the office for a code that is empty or too short', async () => {
    const { user, enrol } = theForm({ ok: false, why: 'office' })
    await send(user, '')
    expect(described().text).toContain('Type the code')
    await send(user, 'abc')
    expect(described().text).toContain('has ten letters and digits')
    expect(enrol).not.toHaveBeenCalled()
  })

  it('says how long to wait after too many tries, and waits', async () => {
    const { user } = theForm({ ok: false, why: 'too-many', retryAfter: 42_000 })
    await send(user, 'abcde-fghjk')
    await waitFor(() => expect(described().text).toContain('Wait 42 s'))
    expect(screen.getByRole<HTMLButtonElement>('button', { name: 'Enrol' }).disabled).toBe(true)
  })

  it('says that there is no connection and that the code is not used up', async () => {
    const { user, onEnrolled } = theForm({ ok: false, why: 'no-network' })
    await send(user, 'abcde-fghjk')
    await waitFor(() => expect(described().text).toContain('No connection'))
    expect(onEnrolled).not.toHaveBeenCalled()
  })
})

describe('the page of a precinct', () => {
  it('says on top what the office knows', async () => {
    await thePage()
    expect(screen.getByRole('status').textContent).toBe('Office has everything, last heard you 6:30')
  })

  it('says how many reports wait while no answer comes', async () => {
    const office = handOffice()
    office.next.push('lose-request')
    const { tap } = await thePage(aDevicePlan({ polls: 'open' }), office)
    await tap(/^Everything you can report/)
    await tap(/^Voting has stopped/)
    await tap('power')
    await tap('Leave it out')
    await screen.findByText('1 report waiting, office last heard you 6:30')
    expect(screen.getByText(/Saved here/)).toBeDefined()
  })

  it('asks the tape’s checks one by one and, rejected, says what to do and that polls still open', async () => {
    const { tap, office } = await thePage()
    await tap(/^Opening tape/)
    await tap(/Tabulator 1/)
    await tap('Yes')
    screen.getByRole('heading', { name: /name your precinct: Harbor Hall/ })
    await tap('No')
    expect(screen.getByRole<HTMLInputElement>('checkbox', { name: 'wrong precinct name' }).checked).toBe(true)
    await tap('Next')
    await tap('Leave it out')
    await screen.findByRole('heading', { name: /^Keep Tabulator 1 out of use/ })
    screen.getByText(/Polls still open at 6:30/)
    expect(screen.getByRole('link', { name: /555-0199/ }).getAttribute('href')).toBe('tel:555-0199')
    await waitFor(() =>
      expect(office.had).toMatchObject([
        { kind: 'OpeningTapeRejected', body: { tabulator: 'T1', problems: ['precinct-name'] } },
      ]),
    )
  })

  it('asks when a count goes backwards, takes it back, and says the right one', async () => {
    const { tap, user, office } = await thePage(aDevicePlan({ polls: 'open', checkedIn: 240 }))
    await tap(/^Counts/)
    screen.getByText('The office has 240')
    await user.keyboard('24')
    await tap('Next')
    screen.getByRole('heading', { name: '24 is less than 240 said before. Which is right?' })
    await tap('Type it again')
    for (const digit of '247') await tap(digit)
    await tap('Next')
    await tap('Not known now')
    await tap('Not known now')
    await tap('No, tell the office')
    await screen.findByText('Counts reported')
    await waitFor(() => expect(office.had).toMatchObject([{ body: { checkedIn: 247 } }]))
  })

  it('shows an error beside the question, and nothing is said', async () => {
    const { tap, user, outbox } = await thePage(aDevicePlan({ polls: 'open' }))
    await tap(/^Line/)
    await tap('Next')
    const field = screen.getByRole('textbox')
    const ids = field.getAttribute('aria-describedby')!.split(' ')
    expect(ids.map(id => document.getElementById(id)?.textContent).join(' ')).toContain('Type a number.')
    await user.type(field, '1e3')
    await tap('Next')
    screen.getByText(/Type a whole number/)
    expect(outbox.state().reports).toEqual([])
  })

  it('warns when words look like a voter’s name and lets the worker decide', async () => {
    const { tap, user, office } = await thePage(aDevicePlan({ polls: 'open' }))
    await tap(/^Incident/)
    await tap('conduct')
    await user.type(screen.getByRole('textbox'), 'Ann Miller shouted')
    await tap('Next')
    screen.getByText('This looks like a person’s name.')
    await tap('Change it')
    await user.clear(screen.getByRole('textbox'))
    await user.type(screen.getByRole('textbox'), 'somebody shouted')
    await tap('Next')
    await tap('Not ended yet')
    await waitFor(() => expect(office.had).toMatchObject([{ body: { what: 'somebody shouted' } }]))
  })

  it('shows a refused report with its problems and says it again, corrected, under a new number', async () => {
    const office = handOffice()
    office.refuse = r => r.body.what === 'first words'
    const { tap, user, outbox } = await thePage(aDevicePlan({ polls: 'open' }), office)
    await outbox.say('IncidentNoted', { category: 'weather', what: 'first words' })
    await user.click(await screen.findByRole('button', { name: /could not take 1 report/ }))
    const amiss = screen.getByRole('article')
    within(amiss).getByText('What happened: refused here')
    await user.click(within(amiss).getByRole('button', { name: 'Say it again, corrected' }))
    await tap('weather')
    await user.type(screen.getByRole('textbox'), 'hail on the roof')
    await tap('Next')
    await tap('Not ended yet')
    await screen.findByText('Incident noted')
    await waitFor(() => expect(office.had).toMatchObject([{ number: 2, body: { what: 'hail on the roof' } }]))
    await tap('Done')
    expect(screen.queryByRole('article')).toBeNull()
    screen.getByText('said again')
  })

  it('says only what is still unsaid when the second of two reports could not be saved at first', async () => {
    const { tap, outbox } = await thePage(aDevicePlan({ polls: 'open' }))
    const say = outbox.say
    let calls = 0
    vi.spyOn(outbox, 'say').mockImplementation(async (kind, body) => {
      calls += 1
      return calls === 2 ? { ok: false, why: 'storage', message: 'busy' } : say(kind, body)
    })
    await tap(/^Everything you can report/)
    await tap(/^Last voter served/)
    await tap('Yes, the last voter is served')
    await screen.findByText(/could not save it \(busy\)/)
    await tap('Yes, the last voter is served')
    await screen.findByRole('heading', { name: 'Last voter served' })
    expect(outbox.state().reports.map(r => r.kind)).toEqual(['StepCompleted', 'LastVoterServed'])
  })

  it('says that storage failed, and nothing is pretended', async () => {
    const { tap, outbox } = await thePage(aDevicePlan({ polls: 'open' }))
    vi.spyOn(outbox, 'say').mockResolvedValue({
      ok: false,
      why: 'storage',
      message: 'QuotaExceededError: no space',
    })
    await tap(/^Everything you can report/)
    await tap(/^Close the polls/)
    await tap(/They are closed/)
    await tap('Not known now')
    await screen.findByText(/could not save it \(QuotaExceededError: no space\)/)
    expect(screen.queryByText('Polls are closed')).toBeNull()
  })
})
