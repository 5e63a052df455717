import { expect, it } from 'vitest'
import { freshDatabase } from '../support/database.ts'
import { addressOf, startServer, sunup } from '../support/programs.ts'

it('a server without an administrator says how to make one; the command does it beside it, and they sign in', async () => {
  const env = { DATABASE_URL: await freshDatabase() }
  const server = await startServer(['start'], env)
  const address = await addressOf(server)
  await server.line(/^Nobody can set up people yet: npm run sunup -- people add NAME --email E --role admin /)
  const post = (path: string, fields: Record<string, string>) =>
    fetch(address + path, {
      method: 'POST',
      redirect: 'manual',
      headers: { Origin: address, 'Content-Type': 'application/x-www-form-urlencoded' },
      body: new URLSearchParams(fields),
    })

  const words = ['people', 'add', 'Odile Marsh', '--email', 'odile@ellery.example', '--role', 'admin']
  const added = await sunup(words, env)
  expect(added).toMatchObject({ code: 0, out: expect.stringMatching(/^\/enter\?key=[\w-]{43}\n$/) })
  const key = added.out.trim().split('key=')[1]!
  const password = 'seven herons over the marsh'
  const entered = await post('/enter/password', { key, password })
  expect([entered.status, entered.headers.get('location')]).toEqual([303, '/setup'])
  const again = await post('/sign-in', { email: 'odile@ellery.example', password })
  expect([again.status, again.headers.get('location')]).toEqual([303, '/setup'])
  const off = await sunup(['people', 'off', 'odile@ellery.example'], env)
  expect(off).toMatchObject({ code: 1, err: expect.stringContaining('last administrator') })
  expect((await server.stop()).code).toBe(0)

  const second = await startServer(['start'], env)
  await addressOf(second)
  expect((await second.stop()).code).toBe(0)
  expect(second.out()).not.toContain('Nobody can set up people')
})
