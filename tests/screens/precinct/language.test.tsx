import { cleanup, render, screen, waitFor } from '@testing-library/react'
import userEvent from '@testing-library/user-event'
import { useSyncExternalStore } from 'react'
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import { createMemoryKeep, type DeviceKeep } from '../../../app/live/deviceKeep.ts'
import type { Outbox } from '../../../app/live/outbox.ts'
import { Enrol } from '../../../app/precinct/Enrol.tsx'
import { Reporting } from '../../../app/precinct/Reporting.tsx'
import { TitlesProvider, WordsProvider } from '../../../app/precinct/words/WordsContext.tsx'
import type { DevicePlan } from '../../../server/protocol/device.ts'
import { handOffice } from '../../support/outboxHands.ts'
import { aDevicePlan, aLink, anOutboxTo, OPENS } from './given.ts'

afterEach(() => {
  cleanup()
  vi.restoreAllMocks()
})
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

async function thePage(plan = aDevicePlan({ polls: 'open' }), keep: DeviceKeep = createMemoryKeep()) {
  const office = handOffice()
  const outbox = await anOutboxTo(office)
  render(
    <WordsProvider keep={keep}>
      <Page outbox={outbox} plan={plan} />
    </WordsProvider>,
  )
  const user = userEvent.setup()
  const tap = async (name: string | RegExp) => user.click(await screen.findByRole('button', { name }))
  return { office, user, tap, keep }
}

const title = () => screen.getByRole('heading', { level: 1 }).textContent
const field = () => screen.getByRole<HTMLInputElement>('textbox')

describe('the language of the page', () => {
  it('changes in the middle of a conversation, and no answer is lost, typed or given', async () => {
    const { office, user, tap } = await thePage()
    await tap(/^Line/)
    await user.keyboard('12')
    await tap('Español')
    expect(title()).toBe('¿Cuántas personas hay en la fila para registrar su llegada?')
    expect(field().value).toBe('12')
    await tap('Seguir')
    expect(title()).toBe('¿Cuántos puestos de registro están funcionando?')
    await tap('English')
    expect(title()).toBe('How many check-in stations are working?')
    await user.type(field(), '3')
    await tap('Next')
    await screen.findByRole('heading', { name: 'Line reported' })
    await tap('Español')
    expect(title()).toBe('Fila reportada')
    await waitFor(() => expect(office.had).toMatchObject([{ body: { inLine: 12, stationsWorking: 3 } }]))
  })

  it('takes ticks and what is wrong along, and sends the same whatever it is', async () => {
    const { office, user, tap } = await thePage(aDevicePlan())
    await tap(/^Team here/)
    await tap('Next')
    screen.getByText('Type a number.')
    await tap('Español')
    screen.getByText('Escriba un número.')
    await user.type(field(), '8')
    await tap('Seguir')
    await user.click(screen.getByRole('checkbox', { name: 'registro de llegada' }))
    await tap('English')
    expect(screen.getByRole<HTMLInputElement>('checkbox', { name: 'check-in' }).checked).toBe(true)
    await tap('Español')
    await tap('Seguir')
    await user.type(field(), '1')
    await tap('Seguir')
    await tap('No, podemos así')
    await waitFor(() =>
      expect(office.had).toMatchObject([{ body: { missing: [{ role: 'check-in', howMany: 1 }] } }]),
    )
  })

  it('is one tap away on every screen, is told to screen readers, and is kept on the tablet', async () => {
    const { tap, keep } = await thePage()
    const there = screen.getByRole('button', { name: 'Español' })
    expect(there.getAttribute('lang')).toBe('es')
    await tap('Español')
    expect(document.documentElement.lang).toBe('es')
    await tap(/^Lo que se dijo hoy/)
    expect(title()).toBe('Lo que se dijo hoy')
    screen.getByRole('button', { name: 'English' })
    expect(await keep.read('language')).toBe('es')
    cleanup()
    await thePage(aDevicePlan(), keep)
    await screen.findByRole('heading', { name: 'Lo que se dijo hoy' })
  })

  it('is the browser’s first before anybody chose', async () => {
    vi.spyOn(navigator, 'languages', 'get').mockReturnValue(['es-MX', 'en'])
    render(
      <WordsProvider keep={createMemoryKeep()}>
        <Enrol enrol={async () => ({ ok: false, why: 'office' })} onEnrolled={() => undefined} />
      </WordsProvider>,
    )
    await screen.findByRole('heading', { name: 'Activar este dispositivo' })
    const user = userEvent.setup()
    await user.click(screen.getByRole('button', { name: 'Activar' }))
    expect(screen.getByRole('alert').textContent).toBe('Escriba el código que le dio la oficina.')
    await user.click(screen.getByRole('button', { name: 'English' }))
    expect(screen.getByRole('alert').textContent).toBe('Type the code that the office gave you.')
  })

  it('has the county’s own titles and the steps’ own words', async () => {
    const base = aDevicePlan()
    const { tap } = await thePage({
      ...base,
      titles: { en: { workers: 'inspectors' }, es: { workers: 'inspectores' } },
      steps: base.steps.map(s => (s.code === 'box' ? { ...s, titleEs: 'Urna vacía' } : s)),
    })
    await tap(/^Team here/)
    expect(title()).toBe('How many inspectors are here now?')
    await tap('Español')
    expect(title()).toBe('¿Cuántos inspectores hay aquí ahora?')
    await tap('Atrás')
    await tap(/^Pasos de apertura/)
    screen.getByText('Urna vacía')
  })
})
