import { cleanup, render, screen, within } from '@testing-library/react'
import userEvent from '@testing-library/user-event'
import { afterEach, describe, expect, it, vi } from 'vitest'
import { Board } from '../../app/desk/board.tsx'
import { inputsOfForecast } from '../../app/desk/forecast/forecastInputs.ts'
import { type ForecastContext, forecastWords } from '../../app/desk/forecast/forecastWords.ts'
import { BoardProvider } from '../../app/live/useBoard.ts'
import { countyOfDay, precinctOutlook } from '../../server/domain/forecast/day.ts'
import { gatherDay, gatherPrecinct } from '../../server/domain/forecast/gather.ts'
import type { ForecastInputs } from '../../server/protocol/board.ts'
import { aLink, aSnapshot } from '../support/aBoard.ts'
import { someForecasts } from '../support/aForecast.ts'
import { at, given, says } from '../support/given.ts'

afterEach(() => {
  cleanup()
  vi.unstubAllGlobals()
})

/** What a server would answer of E-01 after these were said. */
function inputsOf(day: ReturnType<typeof given>, now: number): ForecastInputs {
  const { index, state } = day
  const inputs = [...state.precincts.values()].map(p =>
    gatherPrecinct(p, index.precincts.get(p.code)!, index, now),
  )
  const dayInput = gatherDay(index, now)
  const county = countyOfDay(dayInput, inputs)
  const input = inputs.find(i => i.code === 'E-01')!
  return { position: 100, day: dayInput, county, input, together: [input] }
}

/** A voting day in which many more come than E-01's one station can take. */
const crowded = () =>
  given(
    says('E-01', '06:30', 'PollsOpened', {}),
    says('E-01', '07:30', 'CountsReported', { checkedIn: 40, inLine: 30 }),
    says('E-01', '08:30', 'CountsReported', { checkedIn: 80, inLine: 60, ballotsLeft: 900 }),
    says('E-01', '09:25', 'LineReported', { inLine: 70, stationsWorking: 1 }),
    says('E-01', '09:30', 'CountsReported', { checkedIn: 120, ballotsLeft: 860 }),
  )

async function drawer(inputs: ForecastInputs | null) {
  const paths: string[] = []
  vi.stubGlobal('fetch', async (path: string) => {
    paths.push(path)
    return path.endsWith('/forecast') && inputs ? Response.json(inputs) : new Response('{}', { status: 503 })
  })
  const { link } = await aLink(aSnapshot({ forecasts: inputs && someForecasts(100) }), () => ({
    ok: true,
    position: 101,
  }))
  render(
    <BoardProvider value={link}>
      <Board day="ellery-2026-11-03" me={{ id: 'ana', name: 'Ana' }} mayAct={true} />
    </BoardProvider>,
  )
  const user = userEvent.setup()
  await user.keyboard('j')
  await user.keyboard('{Enter}')
  return { user, paths, beside: within(screen.getByRole('complementary')) }
}

describe('what is coming, in the drawer', () => {
  it('says what is forecast, why, and from what, and what one station more would do', async () => {
    const { user, beside } = await drawer(inputsOf(crowded(), at('09:40')))
    expect(await beside.findByText(/Who joins now waits about/, {}, { timeout: 3_000 })).toBeTruthy()
    expect(beside.getByText(/70 were in line at 09:25.*check-in is the narrowest/)).toBeTruthy()
    expect(beside.getByText(/voters by closing, between/)).toBeTruthy()
    expect(beside.getByText(/Because 120 were checked in by 09:30/)).toBeTruthy()
    expect(beside.getByText(/^1 of 3, 09:25, 1\d min ago$/)).toBeTruthy()
    await user.click(beside.getByRole('radio', { name: 'one station more' }))
    const then = beside.getByText(/^Then .* of those who come wait too long \(now/).textContent!
    const [, changed, now] = /adds up to ([\d,]+) voter-minutes \(now ([\d,]+)\)/.exec(then)!
    expect(Number(changed!.replace(',', ''))).toBeLessThan(Number(now!.replace(',', '')))
    await user.click(beside.getByRole('radio', { name: 'as it is' }))
    expect(beside.queryByText(/^Then /)).toBeNull()
    // Nothing is down, so nothing can be back.
    expect(beside.queryByRole('radio', { name: /tabulator back/ })).toBeNull()
  })

  it('takes a time at which the tabulator is back, and says what is wrong with it', async () => {
    const day = given(
      says('E-01', '06:30', 'PollsOpened', {}),
      says('E-01', '09:00', 'EquipmentWentDown', { equipment: 'T-01' }),
      says('E-01', '09:25', 'LineReported', { inLine: 12, stationsWorking: 3 }),
    )
    const { user, beside } = await drawer(inputsOf(day, at('09:40')))
    const field = await beside.findByLabelText('Tabulator back at, county time', {}, { timeout: 3_000 })
    await user.type(field, '9:5')
    expect(beside.getByText(/as HH:MM, such as 14:30/)).toBeTruthy()
    await user.type(field, '5')
    expect(beside.getByText(/^Back at 09:55: Then /)).toBeTruthy()
    expect(beside.queryByText(/as HH:MM, such as 14:30/)).toBeNull()
  })

  it('says that there is no forecast yet, and asks for none', async () => {
    const { beside, paths } = await drawer(null)
    expect(beside.getByText(/No forecast yet: the first comes shortly before the teams are due/)).toBeTruthy()
    expect(paths.some(path => path.endsWith('/forecast'))).toBe(false)
  })
})

describe('a forecast in words', () => {
  const context = (day: ReturnType<typeof given>, now: number): ForecastContext => {
    const { day: dayInput, county, input, together } = inputsOf(day, now)
    return {
      day: dayInput,
      county,
      input,
      forecast: precinctOutlook(dayInput, county, input, together).forecast,
      timeZone: 'America/New_York',
      stepTitle: code => `the ${code}`,
    }
  }

  it('tells of the opening what holds it up and until when help matters', () => {
    const said = forecastWords(
      context(given(says('E-01', '05:40', 'TeamReported', { present: 8, missing: [] })), at('05:50')),
    )
    expect(said[0]).toMatchObject({ title: 'Opening' })
    expect(said[0]!.says).toMatch(
      /^Ready at about 0\d:\d\d, between .* By 06:30: (\d+|over 99|under 1) in 100\.$/,
    )
    expect(said[0]!.because).toMatch(/steps are done and “the .*” holds up the rest/)
    expect(said[0]!.because).toMatch(
      /It (must|had to) be done by 0\d:\d\d for the rest to fit before opening time/,
    )
  })

  it('names a count that it doesn’t use', () => {
    const day = given(
      says('E-01', '06:30', 'PollsOpened', {}),
      says('E-01', '07:30', 'CountsReported', { checkedIn: 60 }),
      says('E-01', '08:30', 'CountsReported', { checkedIn: 120 }),
      says('E-01', '09:30', 'CountsReported', { checkedIn: 18 }),
    )
    const rows = inputsOfForecast(context(day, at('09:40')), at('09:45'))
    expect(rows).toContainEqual(['Not used', '18 at 09:30: lower than the 120'])
    expect(rows[0]).toEqual(['Forecast made', '09:40, 5 min ago'])
  })
})
