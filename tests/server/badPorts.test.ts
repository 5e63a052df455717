import { expect, it } from 'vitest'
import { BAD_PORTS, schemas } from '../../server/settingsTable.ts'

/** Node's own fetch, given a connection that is never made: what is left is its check of the port. */
async function isRefused(port: number): Promise<boolean> {
  const dispatcher = {
    dispatch() {
      throw new Error('would connect')
    },
  }
  const error = await fetch(`http://127.0.0.1:${port}/`, { dispatcher } as unknown as RequestInit).catch(
    (e: Error) => e,
  )
  return ((error as Error).cause as Error | undefined)?.message === 'bad port'
}

// Source: the fetch standard, "Port blocking" (https://fetch.spec.whatwg.org/#port-blocking), as Node's fetch has it.
it('ports that browsers refuse are the fetch standard’s, all of them and no other', async () => {
  const refused: number[] = []
  for (let port = 1; port <= 65_535; port += port < 11_000 ? 1 : 101)
    if (await isRefused(port)) refused.push(port)
  expect(refused).toEqual([...BAD_PORTS])
})

it('PORT takes none of them, and takes the standard one', () => {
  for (const port of BAD_PORTS) expect(schemas.PORT.safeParse(String(port)).success, String(port)).toBe(false)
  for (const port of [0, 4_180, 8_080, 65_535])
    expect(schemas.PORT.safeParse(String(port)).success, String(port)).toBe(true)
})
