import { act, cleanup, render, screen, waitFor, within } from '@testing-library/react'
import userEvent from '@testing-library/user-event'
import { useState } from 'react'
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import type { EnrolOutcome, Identity } from '../../../app/live/deviceEnrol.ts'
import type { DeviceLinkState } from '../../../app/live/deviceLink.ts'
import { createOutbox } from '../../../app/live/outbox.ts'
import { createMemoryStore } from '../../../app/live/outboxMemory.ts'
import type { Line } from '../../../app/precinct/lines.ts'
import { Serving } from '../../../app/precinct/Serving.tsx'
import { handOffice } from '../../support/outboxHands.ts'
import { aDevicePlan, aLink } from './given.ts'

afterEach(cleanup)
beforeEach(() => {
  vi.spyOn(window, 'scrollTo').mockImplementation(() => undefined)
  history.replaceState(null, '', '/precinct')
})

/** A precinct's line with an outbox of its own, to an office that the test holds. */
async function aLine(code: string, name: string, place = 'Harbor Hall') {
  const office = handOffice()
  const identity: Identity = { device: `d-${code}`, key: `k-${code}`, day: 'ellery', precinct: code, upTo: 0 }
  const outbox = createOutbox({
    store: createMemoryStore({ device: identity.device, day: 'ellery', precinct: code }),
    transport: office.transport,
    random: () => 0.5,
    clock: {
      now: () => Date.now(),
      after: (ms, then) => {
        const timer = setTimeout(then, ms)
        return () => clearTimeout(timer)
      },
    },
  })
  await outbox.start(0)
  const base = aDevicePlan({ polls: 'open' })
  let state = aLink({ ...base, precinct: { ...base.precinct, code, name, place } })
  const listeners = new Set<() => void>()
  const line: Line = {
    enrolment: { identity, database: `db-${code}` },
    unsafe: false,
    link: {
      outbox,
      state: () => state,
      subscribe: listener => {
        listeners.add(listener)
        return () => listeners.delete(listener)
      },
      dayNow: () => null,
      start: async () => undefined,
      stop: () => undefined,
    },
  }
  const becomes = (change: Partial<DeviceLinkState>) =>
    act(() => {
      state = { ...state, ...change }
      for (const listener of listeners) listener()
    })
  return { line, office, outbox, becomes }
}

type TabletProps = Pick<Parameters<typeof Serving>[0], 'enrol' | 'onEnrolled' | 'lines' | 'confirmPlace'>

function Tablet({ lines, enrol, onEnrolled, confirmPlace }: TabletProps) {
  const [held, setHeld] = useState(lines)
  const [shown, setShown] = useState<string | null>(null)
  const isOf = (device: string) => (line: Line) => line.enrolment.identity.device === device
  return (
    <Serving
      lines={held}
      shown={shown}
      show={setShown}
      enrol={enrol}
      onEnrolled={onEnrolled}
      takeOff={device => setHeld(held.filter(l => !isOf(device)(l)))}
      confirmPlace={device => {
        confirmPlace(device)
        const sure = (l: Line): Line => ({ ...l, enrolment: { ...l.enrolment, placeConfirmed: true } })
        setHeld(held.map(l => (isOf(device)(l) ? sure(l) : l)))
      }}
    />
  )
}

async function theTablet(lines: Line[], outcome: EnrolOutcome = { ok: false, why: 'office' }) {
  const enrol = vi.fn(async () => outcome)
  const onEnrolled = vi.fn()
  const confirmed = vi.fn()
  render(<Tablet lines={lines} enrol={enrol} onEnrolled={onEnrolled} confirmPlace={confirmed} />)
  const user = userEvent.setup()
  const tap = (name: string | RegExp) => user.click(screen.getByRole('button', { name }))
  return { user, tap, enrol, onEnrolled, confirmed }
}

const switcher = () => within(screen.getByRole('navigation', { name: 'Precincts of this tablet' }))
const current = () =>
  switcher()
    .getAllByRole('button')
    .filter(b => b.getAttribute('aria-current') === 'true')
    .map(b => b.textContent)
const title = () => screen.getByRole('heading', { level: 1 }).textContent

describe('a tablet that serves several precincts', () => {
  it('shows no switcher while it serves one', async () => {
    const harbor = await aLine('harbor-hall', 'Harbor Hall')
    await theTablet([harbor.line])
    expect(screen.queryByRole('navigation')).toBeNull()
    expect(title()).toBe('Harbor Hall')
  })

  it('P14 speaks for the precinct that is shown alone, and names it above every question', async () => {
    const harbor = await aLine('harbor-hall', 'Harbor Hall')
    const north = await aLine('north-light', 'North Light')
    const { tap, user } = await theTablet([harbor.line, north.line])
    expect(current()).toEqual(['Harbor Hall'])
    await tap('North Light')
    expect(current()).toEqual(['North Light'])
    await tap(/^Line/)
    screen.getByText('For', { exact: false, selector: '.pp-for *' })
    expect(document.querySelector('.pp-for')?.textContent).toBe('For North Light')
    await user.keyboard('7')
    await tap('Next')
    await tap('Leave it out')
    await waitFor(() => expect(north.office.had).toMatchObject([{ number: 1, body: { inLine: 7 } }]))
    expect(harbor.office.had).toEqual([])
    expect(harbor.outbox.state().reports).toEqual([])
  })

  it('P14 leaves a question that was begun for one precinct when another one is shown', async () => {
    const harbor = await aLine('harbor-hall', 'Harbor Hall')
    const north = await aLine('north-light', 'North Light')
    const { tap, user } = await theTablet([harbor.line, north.line])
    await tap(/^Line/)
    await user.keyboard('9')
    await tap('North Light')
    expect(title()).toBe('North Light')
    expect(location.hash).toBe('')
    expect(harbor.outbox.state().reports).toEqual([])
    expect(north.outbox.state().reports).toEqual([])
  })

  it('counts what waits for each, and says in words what is amiss with one that is not shown', async () => {
    const harbor = await aLine('harbor-hall', 'Harbor Hall')
    const north = await aLine('north-light', 'North Light')
    north.office.next.push(...Array<'lose-request'>(50).fill('lose-request'))
    await theTablet([harbor.line, north.line])
    await act(async () => {
      await north.outbox.say('LineReported', { inLine: 3 })
      await north.outbox.say('LineReported', { inLine: 4 })
    })
    await switcher().findByRole('button', { name: /^North Light\s*2 waiting$/ })
    north.becomes({ link: 'down' })
    screen.getByText('North Light: 2 waiting, link lost')
    switcher().getByRole('button', { name: /^North Light\s*2 waiting\s*, needs you$/ })
    switcher().getByRole('button', { name: 'Harbor Hall' })
    north.becomes({ link: 'up' })
    north.office.next.length = 0
    act(() => north.outbox.wake())
    await waitFor(() => expect(switcher().getByRole('button', { name: 'North Light' })).toBeDefined())
    expect(north.office.had.map(r => r.number)).toEqual([1, 2])
  })

  it('adds a precinct by its code, and tells the office what it serves already', async () => {
    const harbor = await aLine('harbor-hall', 'Harbor Hall')
    const identity = { device: 'd-n', key: 'k', day: 'ellery', precinct: 'north-light', upTo: 0 }
    const { tap, user, enrol, onEnrolled } = await theTablet([harbor.line], { ok: true, identity })
    await tap(/^Everything you can report/)
    await tap('This tablet serves another precinct too')
    screen.getByText(/goes on speaking for Harbor Hall/)
    await user.type(screen.getByLabelText('Code'), 'abcde-fghjk')
    await tap('Enrol')
    await waitFor(() => expect(onEnrolled).toHaveBeenCalledWith(identity, null))
    expect(enrol).toHaveBeenCalledWith('abcde-fghjk', '', { day: 'ellery', precincts: ['harbor-hall'] })
    expect(title()).toBe('Harbor Hall')
  })

  it('says that it serves the precinct of a code already', async () => {
    const harbor = await aLine('harbor-hall', 'Harbor Hall')
    const message = 'This tablet serves the precinct of this code already. It is not used up.'
    const refused = { ok: false, why: 'code', reason: 'served-already', message: '' } as const
    const { tap, user, onEnrolled } = await theTablet([harbor.line], refused)
    await tap(/^Everything you can report/)
    await tap('This tablet serves another precinct too')
    await user.type(screen.getByLabelText('Code'), 'abcde-fghjk')
    await tap('Enrol')
    await screen.findByText(message)
    expect(onEnrolled).not.toHaveBeenCalled()
    await tap('Not now')
    expect(title()).toBe('Harbor Hall')
  })

  it('offers to add, never to replace, where a link brings a code to an enrolled tablet', async () => {
    history.replaceState(null, '', '/precinct?code=ABCDE-FGHJK')
    const harbor = await aLine('harbor-hall', 'Harbor Hall')
    const { tap, enrol } = await theTablet([harbor.line])
    expect(title()).toBe('Serve another precinct too')
    expect(screen.getByLabelText<HTMLInputElement>('Code').value).toBe('ABCDE-FGHJK')
    screen.getByText(/Nothing is replaced/)
    expect(enrol).not.toHaveBeenCalled()
    await tap('Not now')
    expect(title()).toBe('Harbor Hall')
    expect(location.search).toBe('')
  })

  it('asks before anything is said for a precinct at another place', async () => {
    const harbor = await aLine('harbor-hall', 'Harbor Hall')
    const north = await aLine('north-light', 'North Light', 'Lighthouse School')
    const { tap, confirmed } = await theTablet([harbor.line, north.line])
    await tap(/^North Light/)
    expect(title()).toBe('North Light is at another place. Is this tablet really there?')
    screen.getByText('North Light: Lighthouse School')
    await tap('Yes, it is there')
    expect(confirmed).toHaveBeenCalledWith('d-north-light')
    expect(title()).toBe('North Light')
  })

  it('takes off a precinct at another place where the tablet is not there', async () => {
    const harbor = await aLine('harbor-hall', 'Harbor Hall')
    const north = await aLine('north-light', 'North Light', 'Lighthouse School')
    const { tap } = await theTablet([harbor.line, north.line])
    await tap(/^North Light/)
    await tap('No, take it off this tablet')
    expect(title()).toBe('Harbor Hall')
    expect(screen.queryByRole('navigation')).toBeNull()
  })

  it('P14 ends only the precinct whose device was revoked: it says so, then goes, and the other goes on', async () => {
    const harbor = await aLine('harbor-hall', 'Harbor Hall')
    const north = await aLine('north-light', 'North Light')
    north.office.next.push(...Array<'lose-request'>(50).fill('lose-request'))
    const { tap } = await theTablet([harbor.line, north.line])
    await act(async () => void (await north.outbox.say('LineReported', { inLine: 3 })))
    north.becomes({ link: 'key-lost' })
    expect(title()).toBe('Harbor Hall')
    screen.getByText('North Light: 1 waiting, the office no longer accepts this tablet for it')
    await tap(/^North Light/)
    screen.getByText(/no longer accepts this tablet for North Light. It goes on for the others/)
    screen.getByText(/1 report is still waiting here/)
    await tap('Take North Light off this tablet')
    expect(title()).toBe('Harbor Hall')
    expect(screen.queryByRole('navigation')).toBeNull()
  })
})
