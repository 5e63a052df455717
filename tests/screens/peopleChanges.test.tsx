import { render, screen, within } from '@testing-library/react'
import userEvent from '@testing-library/user-event'
import { HttpResponse, http } from 'msw'
import { setupServer } from 'msw/node'
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest'
import { Changes } from '../../app/setup/people/changes.tsx'
import { changeWords } from '../../app/setup/people/changeWords.ts'
import type { PeopleChange } from '../../server/protocol/peopleChanges.ts'

const odile = { id: 'person-o', name: 'Odile' }
const rosa = { id: 'person-r', name: 'Rosa' }
const common = { position: 7, at: '2026-11-02T14:05:00.000Z', by: odile, about: rosa }
const asked: string[] = []
const server = setupServer(
  http.get('*/api/v1/setup/people/changes', ({ request }) => {
    const { search } = new URL(request.url)
    asked.push(search)
    const older: PeopleChange = {
      ...common,
      position: 1,
      by: { id: 'cli', name: null },
      kind: 'PersonInvited',
      what: { role: 'desk' },
    }
    const newest: PeopleChange = {
      ...common,
      kind: 'PersonChanged',
      what: { role: { was: 'desk', is: 'supervisor' }, sessionsEnded: 1 },
    }
    return HttpResponse.json({
      changes: search === '' ? [newest] : [older],
      more: search === '',
      timeZone: 'America/New_York',
    })
  }),
)
beforeAll(() => server.listen({ onUnhandledRequest: 'error' }))
afterEach(() => {
  asked.length = 0
})
afterAll(() => server.close())

describe('the changes about people', () => {
  it('are shown in county time, newest first, and older ones by a button and back', async () => {
    render(<Changes />)
    const row = await screen.findByRole('row', { name: /Odile/ })
    expect(within(row).getByText(/Nov 2, 2026, 09:05 EST/)).toBeTruthy()
    expect(
      within(row).getByText('changed Rosa: role desk to supervisor; one session ended by it'),
    ).toBeTruthy()
    await userEvent.click(screen.getByRole('button', { name: 'Earlier changes' }))
    expect(await screen.findByRole('row', { name: /The sunup command invited Rosa as desk/ })).toBeTruthy()
    expect(asked.at(-1)).toBe('?before=7')
    expect(screen.queryByRole('button', { name: 'Earlier changes' })).toBeNull()
    await userEvent.click(screen.getByRole('button', { name: 'Back to the latest' }))
    expect(await screen.findByRole('row', { name: /Odile/ })).toBeTruthy()
  })

  it.each<[Pick<PeopleChange, 'kind' | 'what'> & { by?: PeopleChange['by'] }, string]>([
    [{ kind: 'PersonInvited', what: { role: 'rover', post: 'ana' } }, 'invited Rosa as rover, post ana'],
    [{ kind: 'PersonAdded', what: { role: 'desk' } }, 'added Rosa, who comes in by links, as desk'],
    [
      { kind: 'PersonChanged', what: { name: true, post: { is: 'ana' } } },
      'changed Rosa: post none to ana; another name',
    ],
    [{ kind: 'PersonSwitchedOff', what: { sessionsEnded: 2 } }, 'switched Rosa off: 2 sessions ended by it'],
    [{ kind: 'PersonSwitchedOn', what: {} }, 'switched Rosa on again'],
    [{ kind: 'LinkMade', what: { for: 'password' } }, 'made a link by which Rosa sets a password'],
    [{ kind: 'LinkMade', what: { for: 'sign-in' }, by: rosa }, 'made a link by which they sign in once'],
    [{ kind: 'PasswordSet', what: {}, by: rosa }, 'set a password of their own'],
    [{ kind: 'TokenMade', what: { role: 'desk' } }, 'made a token for Rosa as desk'],
    [{ kind: 'TokenEnded', what: { role: 'desk' } }, 'ended the token of Rosa as desk'],
  ])('%o reads as a sentence', (change, words) => {
    expect(changeWords({ ...common, ...change } as PeopleChange)).toBe(words)
  })
})
