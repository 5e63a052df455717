import { cleanup, render, renderHook, screen, waitFor } from '@testing-library/react'
import userEvent from '@testing-library/user-event'
import { delay, HttpResponse, http } from 'msw'
import { setupServer } from 'msw/node'
import type { ReactNode } from 'react'
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it, vi } from 'vitest'
import { useDetail } from '../../app/desk/useDetail.ts'
import { enrol } from '../../app/live/deviceEnrol.ts'
import { BoardProvider } from '../../app/live/useBoard.ts'
import { Enrol } from '../../app/precinct/Enrol.tsx'
import { enrol as ENROL } from '../../app/precinct/words/en/office.ts'
import type { PrecinctDetail } from '../../server/protocol/board.ts'
import { aLink, aSnapshot } from '../support/aBoard.ts'

/** The REST calls of the pages, against answers in the form that the server gives them (server/http). */
const office = setupServer()
beforeAll(() => office.listen({ onUnhandledRequest: 'error' }))
beforeEach(() => history.replaceState(null, '', '/precinct'))
afterEach(() => {
  office.resetHandlers()
  cleanup()
})
afterAll(() => office.close())

describe('enrolling a tablet', () => {
  async function send(code: string, label = '') {
    const onEnrolled = vi.fn()
    const user = userEvent.setup()
    render(<Enrol enrol={(typed, name) => enrol(typed, name)} onEnrolled={onEnrolled} />)
    await user.type(screen.getByLabelText(ENROL.code), code)
    if (label) await user.type(screen.getByLabelText(ENROL.label), label)
    await user.click(screen.getByRole('button', { name: ENROL.go }))
    return onEnrolled
  }
  const says = (text: string) => waitFor(() => expect(screen.getByRole('alert').textContent).toBe(text))

  it('sends the code without its dash, in capitals, and takes the key it is given', async () => {
    const asked = vi.fn()
    office.use(
      http.post('*/api/v1/enrol', async ({ request }) => {
        asked(await request.json())
        return HttpResponse.json({
          ok: true,
          device: 'd-1',
          key: 'k'.repeat(43),
          day: 'ellery',
          precinct: 'E-01',
          upTo: 0,
        })
      }),
    )
    const onEnrolled = await send('abcde-fghjk', ' by the door ')
    await waitFor(() =>
      expect(onEnrolled).toHaveBeenCalledExactlyOnceWith({
        device: 'd-1',
        key: 'k'.repeat(43),
        day: 'ellery',
        precinct: 'E-01',
        upTo: 0,
      }),
    )
    expect(asked.mock.calls).toEqual([[{ code: 'ABCDEFGHJK', label: 'by the door' }]])
  })

  it('shows the office’s own words where a code is refused, and stays ready for another', async () => {
    const message = 'That code has been used. Ask the elections office for a new one.'
    office.use(
      http.post('*/api/v1/enrol', () =>
        HttpResponse.json({ ok: false, problems: [{ path: 'code', message }] }, { status: 403 }),
      ),
    )
    const onEnrolled = await send('ABCDEFGHJK')
    await says(message)
    expect(screen.getByLabelText(ENROL.code)).toBe(document.activeElement)
    expect(screen.getByRole<HTMLButtonElement>('button', { name: ENROL.go }).disabled).toBe(false)
    expect(onEnrolled).not.toHaveBeenCalled()
  })

  it('counts down where there were too many attempts, and takes no other meanwhile', async () => {
    office.use(
      http.post('*/api/v1/enrol', () =>
        HttpResponse.json(
          { ok: false, problems: [{ path: '', message: 'Too many attempts.' }], retryAfter: 40_000 },
          { status: 429, headers: { 'Retry-After': '40' } },
        ),
      ),
    )
    await send('ABCDEFGHJK')
    await waitFor(() => expect(screen.getByRole('alert').textContent).toMatch(/40 s/))
    expect(screen.getByRole<HTMLButtonElement>('button', { name: ENROL.go }).disabled).toBe(true)
  })

  it('tells no network from an office that answers strangely', async () => {
    office.use(http.post('*/api/v1/enrol', () => HttpResponse.error()))
    await send('ABCDEFGHJK')
    await says(ENROL.noNetwork)
    cleanup()
    office.use(http.post('*/api/v1/enrol', () => HttpResponse.html('<h1>Bad gateway</h1>', { status: 502 })))
    await send('ABCDEFGHJK')
    await says(ENROL.office)
  })
})

describe('the drawer’s detail of a precinct', () => {
  const detail = (code: string): PrecinctDetail => ({
    code,
    place: { name: 'Harbor Hall', address: '1 Quay', phone: null },
    contacts: [{ role: 'precinct lead', name: 'Lead one', phone: '555-0101' }],
    entries: [],
  })
  const path = '*/api/v1/days/:day/precincts/:code'
  /** The live board above it: of a still one it would ask up to that instant. */
  async function onBoard() {
    const { link } = await aLink(aSnapshot(), () => ({ ok: true, position: 1 }))
    return ({ children }: { children: ReactNode }) => <BoardProvider value={link}>{children}</BoardProvider>
  }

  it('is asked for by day and code, and kept with the problem named when a newer one doesn’t come', async () => {
    office.use(http.get(path, ({ params }) => HttpResponse.json(detail(String(params.code)))))
    const { result, rerender } = renderHook(({ at }) => useDetail('ellery 1', 'E-01', at), {
      initialProps: { at: 0 },
      wrapper: await onBoard(),
    })
    await waitFor(() => expect(result.current.detail).toEqual(detail('E-01')))
    office.use(http.get(path, () => new HttpResponse(null, { status: 500 })))
    rerender({ at: 7 })
    await waitFor(() => expect(result.current.problem).toBe('The server answered 500.'))
    expect(result.current.detail).toEqual(detail('E-01'))
    office.use(http.get(path, () => HttpResponse.error()))
    result.current.again()
    await waitFor(() => expect(result.current.problem).toBe('The server could not be reached.'))
    office.use(http.get(path, () => new HttpResponse(null, { status: 401 })))
    result.current.again()
    await waitFor(() => expect(result.current.problem).toBe('The session has ended.'))
  })

  it('never shows one precinct’s contacts under another’s name, however late they come', async () => {
    office.use(
      http.get(path, async ({ params }) => {
        if (params.code === 'E-01') await delay(150)
        return HttpResponse.json(detail(String(params.code)))
      }),
    )
    const { result, rerender } = renderHook(({ code }) => useDetail('ellery', code, 0), {
      initialProps: { code: 'E-01' },
      wrapper: await onBoard(),
    })
    await new Promise(resolve => setTimeout(resolve, 30))
    rerender({ code: 'E-02' })
    expect(result.current.detail).toBe(null)
    await waitFor(() => expect(result.current.detail?.code).toBe('E-02'))
    await new Promise(resolve => setTimeout(resolve, 200))
    expect(result.current.detail?.code).toBe('E-02')
  })
})
