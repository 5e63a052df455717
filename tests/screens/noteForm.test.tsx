import { cleanup, render, screen, within } from '@testing-library/react'
import userEvent from '@testing-library/user-event'
import { afterEach, describe, expect, it, vi } from 'vitest'
import { Board } from '../../app/desk/board.tsx'
import { BoardProvider } from '../../app/live/useBoard.ts'
import type { CommandAnswer } from '../../server/protocol/command.ts'
import { aLink, aSnapshot } from '../support/aBoard.ts'

afterEach(() => {
  cleanup()
  vi.unstubAllGlobals()
})

async function drawer(answer: () => CommandAnswer) {
  vi.stubGlobal('fetch', async () => new Response('{}', { status: 503 }))
  const made = await aLink(aSnapshot(), answer)
  render(
    <BoardProvider value={made.link}>
      <Board day="ellery-2026-11-03" me={{ id: 'ana', name: 'Ana' }} mayAct={true} />
    </BoardProvider>,
  )
  const user = userEvent.setup()
  await user.keyboard('j')
  await user.keyboard('c')
  await user.click(screen.getByRole('button', { name: 'Close' }))
  const beside = within(screen.getByRole('complementary'))
  return {
    ...made,
    user,
    beside,
    note: beside.getByLabelText(/^Note/),
    add: () => user.click(beside.getByRole('button', { name: 'Add the note' })),
  }
}

describe('a note on a precinct', () => {
  it('asks once more before it names a person, and not after the words were let pass', async () => {
    const { user, beside, note, add, sent } = await drawer(() => ({ ok: true, position: 101 }))
    await user.type(note, 'lives at 12 Mill Pond Road')
    await add()
    expect(beside.getByText(/Voters are never named here/)).toBeTruthy()
    expect(sent).toEqual([])
    await user.click(beside.getByRole('button', { name: 'Write it anyway' }))
    expect(sent).toMatchObject([{ kind: 'AddNote', body: { note: 'lives at 12 Mill Pond Road' } }])
    expect(beside.getByText('Noted.')).toBeTruthy()
  })

  it('is tried again under the same id until an answer came; the next note has its own', async () => {
    const answers: CommandAnswer[] = [
      { ok: false, refusal: { reason: 'unavailable', message: 'No answer.' } },
      { ok: true, position: 101 },
      { ok: true, position: 102 },
    ]
    const { user, note, add, sent } = await drawer(() => answers.shift()!)
    await user.type(note, 'the ramp is icy')
    await add()
    await add()
    await user.type(note, 'the ramp is salted')
    await add()
    expect(sent[1]!.id).toBe(sent[0]!.id)
    expect(sent[2]!.id).not.toBe(sent[0]!.id)
  })
})
