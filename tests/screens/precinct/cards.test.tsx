import { act, cleanup, render, screen, waitFor, within } from '@testing-library/react'
import userEvent from '@testing-library/user-event'
import { useSyncExternalStore } from 'react'
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import { createMemoryKeep } from '../../../app/live/deviceKeep.ts'
import type { Outbox } from '../../../app/live/outbox.ts'
import { Reporting } from '../../../app/precinct/Reporting.tsx'
import { TitlesProvider, WordsProvider } from '../../../app/precinct/words/WordsContext.tsx'
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
    <TitlesProvider titles={plan.titles}>
      <Reporting
        plan={plan}
        session={{
          link: aLink(plan),
          box,
          unsafe: false,
          wall: OPENS,
          say: (kind, body) => outbox.say(kind, body),
          mend: (of, kind, body) => outbox.mend(of, kind, body),
          leave: of => outbox.leave(of),
        }}
      />
    </TitlesProvider>
  )
}

async function thePage(plan: DevicePlan = aDevicePlan({ polls: 'open' })) {
  const office = handOffice()
  const outbox = await anOutboxTo(office)
  render(
    <WordsProvider keep={createMemoryKeep()}>
      <Page outbox={outbox} plan={plan} />
    </WordsProvider>,
  )
  const user = userEvent.setup()
  const tap = async (name: string | RegExp) => user.click(await screen.findByRole('button', { name }))
  return { office, user, tap }
}

const title = () => screen.getByRole('heading', { level: 1 }).textContent
const numbers = () => screen.getAllByRole('link').map(a => [a.textContent, a.getAttribute('href')])

describe('the guide', () => {
  it('is two taps from a card, and the address leads back step by step', async () => {
    const { tap } = await thePage()
    await tap('Guide')
    expect(location.hash).toBe('#guide')
    expect(screen.getByRole('button', { name: 'Guide' }).getAttribute('aria-expanded')).toBe('true')
    await tap('A mistake on the ballot')
    expect(location.hash).toBe('#guide/spoiled-ballot')
    expect(title()).toBe('A mistake on the ballot')
    expect(document.activeElement).toBe(screen.getByRole('heading', { level: 1 }))
    within(screen.getByRole('heading', { name: 'Never' }).parentElement!).getByText(
      'Never throw a ballot away.',
    )
    screen.getByText('Your county’s guide decides.')
    act(() => history.back())
    await screen.findByRole('searchbox')
    act(() => history.back())
    await screen.findByRole('heading', { name: 'Harbor Hall' })
    expect(screen.queryByRole('searchbox')).toBeNull()
  })

  it('opens within a conversation, which goes on with what was answered and typed', async () => {
    const { office, user, tap } = await thePage()
    await tap(/^Line/)
    await user.keyboard('12')
    await tap('Next')
    await user.keyboard('3')
    await tap('Guide')
    expect(title()).toBe('Guide')
    await tap('Voting at the curb')
    await tap('Guide')
    expect(title()).toBe('How many check-in stations are working?')
    expect(document.activeElement).toBe(screen.getByRole('button', { name: 'Guide' }))
    expect(screen.getByRole<HTMLInputElement>('textbox').value).toBe('3')
    await tap('Next')
    await waitFor(() => expect(office.had).toMatchObject([{ body: { inLine: 12, stationsWorking: 3 } }]))
  })

  it('finds while one types, keeps what was typed, and where nothing is found says whom to ring', async () => {
    const { user, tap } = await thePage()
    await tap('Guide')
    const search = () => screen.getByRole('searchbox', { name: 'Search the guide' })
    await user.type(search(), 'curb')
    expect(document.activeElement).toBe(search())
    screen.getByText('1 card')
    await tap('Voting at the curb')
    await tap('All cards')
    expect(search()).toHaveProperty('value', 'curb')
    await user.clear(search())
    await user.type(search(), 'zebra')
    screen.getByText('Nothing found for “zebra”.')
    expect(numbers()).toEqual([['Call the office: 555-0199', 'tel:555-0199']])
  })

  it('says for an address without a card that there is none, and leads on', async () => {
    history.replaceState(null, '', '/precinct#guide/%E0%A4%A')
    const { tap } = await thePage()
    expect(title()).toBe('This card is not in the guide.')
    await tap('All cards')
    await tap('Back')
    expect(title()).toBe('Harbor Hall')
  })

  it('rings the office first, then whom the plan names, out of the room where it asks for that', async () => {
    const plan = aDevicePlan()
    const contacts = [
      { role: 'precinct lead', phone: '555-0100' },
      { role: 'custodian', phone: '555-0180' },
    ]
    const { tap } = await thePage({
      ...plan,
      contacts,
      titles: { en: { lead: 'chief judge' } },
      page: { ...plan.page, phonesInRoom: false },
    })
    await tap('Guide')
    await tap('Whom to call')
    expect(numbers()).toEqual([
      ['Elections office 555-0199', 'tel:555-0199'],
      ['chief judge 555-0100', 'tel:555-0100'],
      ['custodian 555-0180', 'tel:555-0180'],
    ])
    screen.getByText('Step out of the voting room before you call.')
    await tap('All cards')
    await tap('Someone makes trouble')
    screen.getByText('Step out of the voting room before you call.')
  })

  it('has the county’s cards first, marked as English where they have no Spanish', async () => {
    const { tap } = await thePage({
      ...aDevicePlan(),
      cards: [
        { code: 'ferry', title: 'Materials by ferry', text: 'Stay with the bag.', find: [] },
        {
          code: 'curbside',
          title: 'Cars at the pier',
          titleEs: 'Autos en el muelle',
          text: 'Go out.',
          find: [],
        },
      ],
    })
    await tap('Español')
    await tap('Guía')
    const ferry = screen.getByText('Materials by ferry')
    expect(ferry.getAttribute('lang')).toBe('en')
    expect(screen.queryByText('Votar desde el vehículo')).toBeNull()
    await tap(/^Autos en el muelle/)
    expect(screen.getByText('Go out.').closest('[lang]')?.getAttribute('lang')).toBe('en')
    expect(screen.getByRole('heading', { level: 1 }).hasAttribute('lang')).toBe(false)
    screen.getByText('De su condado')
  })
})
