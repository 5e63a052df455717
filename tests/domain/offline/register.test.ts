import { describe, expect, it } from 'vitest'
import { startOffline } from '../../../app/live/offline/register.ts'
import { settled } from '../../support/outboxHands.ts'

/** A browser's service workers by hand. */
function hands(over: { active?: boolean; waiting?: boolean; alone?: boolean; newer?: boolean } = {}) {
  const said: string[] = []
  const container = new EventTarget() as EventTarget & Record<string, unknown>
  const takesOver = () => queueMicrotask(() => container.dispatchEvent(new Event('controllerchange')))
  const worker = (state: string) =>
    Object.assign(new EventTarget(), {
      state,
      postMessage(what: string) {
        said.push(what)
        if (what === 'take-over' || over.alone) takesOver()
      },
    })
  const installing = worker('installing')
  const registration = {
    active: over.active ? worker('activated') : null,
    waiting: over.waiting ? worker('installed') : null,
    installing: over.active ? null : installing,
    async update() {
      said.push('update')
      if (over.newer) registration.waiting = worker('installed')
    },
  }
  container.controller = over.active ? {} : null
  container.getRegistration = async () => (over.active ? registration : undefined)
  container.register = async () => {
    said.push('register')
    return registration
  }
  const start = () =>
    startOffline({
      container: container as unknown as Parameters<typeof startOffline>[0]['container'],
      reload: () => said.push('reload'),
      whenIdle: then => then(),
    })
  function becomes(state: string) {
    installing.state = state
    installing.dispatchEvent(new Event('statechange'))
  }
  return { said, start, becomes }
}

describe('whether the precinct page opens again without a network', () => {
  it('says that it can’t where there are no service workers', async () => {
    const said: string[] = []
    const shell = startOffline({
      container: null,
      reload: () => said.push('reload'),
      whenIdle: then => then(),
    })
    expect(shell.state()).toBe('impossible')
    await shell.loadAgain()
    expect(said).toEqual(['reload'])
  })

  it('is ready when everything is stored, not before; and has failed where storing was refused', async () => {
    for (const [end, state] of [
      ['activated', 'ready'],
      ['redundant', 'failed'],
    ] as const) {
      const { start, becomes } = hands()
      const shell = start()
      const seen: string[] = []
      shell.subscribe(() => seen.push(shell.state()))
      await settled()
      expect(shell.state()).toBe('getting')
      becomes('installed')
      expect(shell.state()).toBe('getting')
      becomes(end)
      expect(seen).toEqual([state])
    }
  })

  it('is ready at once where it was stored before', async () => {
    const { start, said } = hands({ active: true })
    const shell = start()
    await settled()
    expect(shell.state()).toBe('ready')
    expect(said).toEqual(['register'])
  })

  it('lets a newer build take over at the beginning, where no other tab is open', async () => {
    const { start, said } = hands({ active: true, waiting: true, alone: true })
    start()
    await settled()
    expect(said).toEqual(['take-over-if-alone', 'reload'])
  })

  it('asked to load again, gets the newest build first, and loads all the same where there is none', async () => {
    const newer = hands({ active: true, newer: true })
    const first = newer.start()
    await settled()
    await first.loadAgain()
    expect(newer.said).toEqual(['register', 'update', 'take-over', 'reload'])
    const same = hands({ active: true })
    const second = same.start()
    await settled()
    await second.loadAgain()
    expect(same.said).toEqual(['register', 'update', 'reload'])
  })
})
