import { cleanup, render, screen, waitFor, within } from '@testing-library/react'
import userEvent from '@testing-library/user-event'
import { useSyncExternalStore } from 'react'
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import type { Outbox } from '../../../app/live/outbox.ts'
import type { KeptReport } from '../../../app/live/outboxStore.ts'
import { keptAside, toMend } from '../../../app/precinct/keptAside.ts'
import { callsNow } from '../../../app/precinct/notices/calls.ts'
import { type Audio, createChime } from '../../../app/precinct/notices/chime.ts'
import { noticesNow } from '../../../app/precinct/notices/notices.ts'
import { useChime } from '../../../app/precinct/notices/useChime.ts'
import { pageStateOf } from '../../../app/precinct/pageState.ts'
import { Reminders } from '../../../app/precinct/Reminders.tsx'
import { Reporting } from '../../../app/precinct/Reporting.tsx'
import { MINUTE } from '../../../server/domain/time.ts'
import type { DevicePlan } from '../../../server/protocol/device.ts'
import { handOffice } from '../../support/outboxHands.ts'
import { aDevicePlan, aLink, anOutboxTo, OPENS, said } from './given.ts'

afterEach(cleanup)
beforeEach(() => {
  localStorage.clear()
  vi.spyOn(window, 'scrollTo').mockImplementation(() => undefined)
  history.replaceState(null, '', '/precinct')
})

const at = new Date(OPENS).toISOString()
const asks = { id: 41, at, text: 'Hours are extended to 9:00.', acknowledge: true, read: false }
const tells = { id: 42, at, text: 'Ice on the ferry ramp.', acknowledge: false, read: false }
const withNotices = (notices: DevicePlan['notices'], over: Partial<DevicePlan> = {}): DevicePlan => ({
  ...aDevicePlan({ polls: 'open' }),
  notices,
  ...over,
})

function Page({ outbox, plan, extra = [] }: { outbox: Outbox; plan: DevicePlan; extra?: KeptReport[] }) {
  const box = useSyncExternalStore(outbox.subscribe, outbox.state)
  const shown =
    extra.length === 0 ? box : { ...box, refused: extra.length, reports: [...box.reports, ...extra] }
  return (
    <Reporting
      plan={plan}
      session={{
        link: { ...aLink(plan) },
        box: shown,
        unsafe: false,
        wall: OPENS,
        say: (kind, body) => outbox.say(kind, body),
        mend: (of, kind, body) => outbox.mend(of, kind, body),
        leave: of => outbox.leave(of),
      }}
    />
  )
}
async function thePage(plan: DevicePlan, extra?: KeptReport[]) {
  const office = handOffice()
  const outbox = await anOutboxTo(office)
  const page = render(<Page outbox={outbox} plan={plan} extra={extra} />)
  return {
    office,
    user: userEvent.setup(),
    tap: (name: string | RegExp) => userEvent.click(screen.getByRole('button', { name })),
    again: (next: DevicePlan) => page.rerender(<Page outbox={outbox} plan={next} extra={extra} />),
  }
}
const fresh = () => screen.queryByRole('region', { name: 'From the elections office' })

describe('a notice of the office', () => {
  it('stands above everything with its words and time, and being read is told to the office', async () => {
    const { tap, office } = await thePage(withNotices([asks]))
    const region = fresh()!
    expect(region.compareDocumentPosition(screen.getByRole('heading', { level: 1 }))).toBe(
      Node.DOCUMENT_POSITION_FOLLOWING,
    )
    within(region).getByText('Hours are extended to 9:00.')
    within(region).getByText('At 6:30')
    await tap('We have read it')
    await waitFor(() =>
      expect(office.had).toMatchObject([{ kind: 'NoticeAcknowledged', body: { notice: 41 } }]),
    )
    expect(fresh()).toBeNull()
    within(screen.getByRole('region', { name: 'Notices of today' })).getByText('Hours are extended to 9:00.')
  })

  it('that asks for nothing is closed here, says nothing to the office, and stays closed after a reload', async () => {
    const { tap, office } = await thePage(withNotices([tells]))
    await tap('Close')
    expect(fresh()).toBeNull()
    cleanup()
    await thePage(withNotices([tells]))
    expect(fresh()).toBeNull()
    screen.getByText('Ice on the ferry ramp.')
    expect(office.had).toEqual([])
  })

  it('is pointed to from every other screen', async () => {
    const { tap, again } = await thePage(withNotices([]))
    await tap(/^Line/)
    again(withNotices([asks, tells]))
    await tap('2 notices of the office. Read them')
    expect(fresh()).not.toBeNull()
  })

  it('is read where any tablet of the precinct said so; closed does not stand for read', () => {
    const standing = (read: number[], closed: number[], notices = [asks, tells]) =>
      noticesNow(withNotices(notices), new Set(read), new Set(closed))
        .filter(n => n.fresh)
        .map(n => n.id)
    expect(standing([], [])).toEqual([42, 41])
    expect(standing([41], [])).toEqual([42])
    expect(standing([], [41, 42])).toEqual([41])
    expect(standing([], [], [{ ...asks, read: true }])).toEqual([])
  })
})

function Calls({ allowed, calls }: { allowed: boolean; calls: string[] }) {
  const { silenced, turn } = useChime(allowed, calls)
  return (
    <button type="button" onClick={turn}>
      {silenced ? 'off' : 'on'}
    </button>
  )
}

describe('the chime', () => {
  function handAudio() {
    const starts: number[] = []
    const audio = {
      currentTime: 5,
      destination: {},
      resume: async () => undefined,
      createGain: () => ({
        gain: {
          setValueAtTime: () => undefined,
          linearRampToValueAtTime: () => undefined,
          exponentialRampToValueAtTime: () => undefined,
        },
        connect: () => undefined,
      }),
      createOscillator: () => ({
        frequency: { value: 0 },
        connect: () => undefined,
        start: (when: number) => starts.push(when),
        stop: () => undefined,
      }),
    } as unknown as Audio
    return { audio, starts }
  }

  it('makes no sound before a touch, and none later for what was before it', () => {
    const { audio, starts } = handAudio()
    const chime = createChime(() => audio)
    chime.ring()
    chime.touched()
    expect(starts).toEqual([])
    chime.ring()
    expect(starts).toEqual([5, 5.28])
  })

  async function heard(allowed: boolean) {
    const { audio, starts } = handAudio()
    vi.stubGlobal(
      'AudioContext',
      class {
        constructor() {
          Object.assign(this, audio)
        }
      },
    )
    const page = render(<Calls allowed={allowed} calls={['notice 1']} />)
    await userEvent.click(document.body)
    return { starts, calls: (...calls: string[]) => page.rerender(<Calls allowed={allowed} calls={calls} />) }
  }
  afterEach(() => void vi.unstubAllGlobals())

  it('sounds once for what is new, not for what was there already', async () => {
    const { starts, calls } = await heard(true)
    calls('notice 1')
    expect(starts).toHaveLength(0)
    calls('notice 1', 'count 9')
    calls('notice 1', 'count 9')
    expect(starts).toHaveLength(2)
  })

  it('never sounds where the county doesn’t allow it, or where it was turned off on this tablet', async () => {
    const forbidden = await heard(false)
    forbidden.calls('count 9')
    expect(forbidden.starts).toEqual([])
    cleanup()
    const allowed = await heard(true)
    await userEvent.click(screen.getByRole('button', { name: 'on' }))
    allowed.calls('count 9')
    expect(allowed.starts).toEqual([])
    cleanup()
    await heard(true)
    screen.getByRole('button', { name: 'off' })
  })

  it('is called by a count that is due, by ballots in the slot each time anew, and by notices', () => {
    const plan = withNotices([asks], { has: { ...aDevicePlan({ polls: 'open' }).has, inSlot: 4 } })
    const page = pageStateOf(plan, 0, [])
    const calls = (minutes: number) =>
      callsNow(plan, page, noticesNow(plan, new Set(), new Set()), {
        now: OPENS + minutes * MINUTE,
        dayOf: Date.parse,
      })
    expect(calls(1)).toEqual(['notice 41'])
    expect(calls(21)).toEqual([`slot ${OPENS + 20 * MINUTE}`, 'notice 41'])
    expect(calls(80)).toEqual([`count ${OPENS + 75 * MINUTE}`, `slot ${OPENS + 80 * MINUTE}`, 'notice 41'])
  })

  it('has its switch only where the county allows sound', async () => {
    await thePage(withNotices([]))
    expect(screen.queryByRole('button', { name: /chime/ })).toBeNull()
    cleanup()
    const { tap } = await thePage(withNotices([], { page: { ...aDevicePlan().page, sound: true } }))
    await tap('Turn the chime off on this tablet')
    screen.getByRole('button', { name: 'Turn the chime on' })
  })
})

describe('what must be thought of now', () => {
  it('stands in the head: the slot anew at each interval until looked at, a count that is due on other screens', async () => {
    const plan = withNotices([], { ...aDevicePlan({ polls: 'open', slotOpen: true }) })
    const go = vi.fn()
    const head = (minutes: number, on = '') => (
      <Reminders
        plan={plan}
        page={pageStateOf(plan, 1_000, [])}
        times={{ now: OPENS + minutes * MINUTE, dayOf: text => Date.parse(text), time: () => '7:45' }}
        screen={on}
        go={go}
      />
    )
    const { rerender } = render(head(19))
    expect(screen.queryByRole('button')).toBeNull()
    rerender(head(21))
    await userEvent.click(screen.getByRole('button', { name: /^Look at the emergency slot/ }))
    expect(go).toHaveBeenCalledWith('flow/slot-locked')
    expect(screen.queryByRole('button')).toBeNull()
    rerender(head(41, 'said'))
    screen.getByRole('button', { name: /^Look at the emergency slot/ })
    rerender(head(80, 'said'))
    await userEvent.click(screen.getByRole('button', { name: 'Counts are due since 7:45' }))
    expect(go).toHaveBeenCalledWith('flow/counts')
    rerender(head(80))
    expect(screen.queryByRole('button', { name: /^Counts are due/ })).toBeNull()
  })
})

describe('a tablet whose place another one took', () => {
  const aside = said(
    'CountsReported',
    { checkedIn: 7 },
    {
      state: 'refused',
      problems: [{ path: 'device-replaced', message: 'kept aside' }],
    },
  )
  const wrong = said(
    'LineReported',
    { inLine: 7 },
    {
      state: 'refused',
      problems: [{ path: 'body.inLine', message: 'at most 3' }],
    },
  )

  it('is told so on top, and nothing is offered to be said again', async () => {
    const { tap } = await thePage(withNotices([]), [aside])
    const words =
      'Another tablet took the place of this one. The office keeps what you said here aside and decides.'
    expect(screen.getByRole('alert').textContent).toBe(words)
    screen.getByText('Kept aside. The office may not see it. Call them: 555-0199')
    expect(screen.queryByText(/^Office has everything/)).toBeNull()
    expect(screen.queryByRole('button', { name: /could not take/ })).toBeNull()
    await tap(/^What was said today/)
    screen.getByText('kept aside in the office')
    expect(screen.queryByRole('button', { name: /Say it again|Leave it/ })).toBeNull()
  })

  it('what else was refused is still mended', () => {
    expect([aside, wrong].map(keptAside)).toEqual([true, false])
    expect(toMend({ refused: 2, reports: [aside, wrong] })).toBe(1)
  })
})
