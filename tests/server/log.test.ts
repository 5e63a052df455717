import { Writable } from 'node:stream'
import { DrizzleQueryError } from 'drizzle-orm/errors'
import { expect, it } from 'vitest'
import { makeLog } from '../../server/log.ts'

function written(level: string, write: (log: ReturnType<typeof makeLog>) => void): string {
  let text = ''
  const sink = new Writable({
    write(chunk, _encoding, done) {
      text += chunk
      done()
    },
  })
  write(makeLog(level, sink))
  return text
}

it('keeps secrets, names, telephone numbers and notes out of the log, up to three levels deep', () => {
  const text = written('info', log =>
    log.info(
      {
        key: 'SECRET',
        device: { id: 'd-1', key: 'SECRET', label: 'SECRET' },
        request: { headers: { cookie: 'SECRET', authorization: 'SECRET', 'set-cookie': 'SECRET' } },
        contact: { name: 'SECRET', phone: 'SECRET' },
        entry: { position: 7, detail: { note: 'SECRET' }, body: { what: 'SECRET' } },
        precinct: '014',
      },
      'heard',
    ),
  )
  expect(text).not.toContain('SECRET')
  expect(JSON.parse(text)).toMatchObject({
    msg: 'heard',
    precinct: '014',
    device: { id: 'd-1' },
    entry: { position: 7 },
  })
})

it('writes one JSON object a line, with an RFC 3339 time, from the level that was asked for', () => {
  const text = written('warn', log => {
    log.info('quiet')
    log.warn({ count: 2 }, 'loud')
  })
  const lines = text.trim().split('\n')
  expect(lines).toHaveLength(1)
  const line = JSON.parse(lines[0]!)
  expect(line).toMatchObject({ msg: 'loud', count: 2 })
  expect(new Date(line.time).toISOString()).toBe(line.time)
})

it('writes errors by type, message, code, stack and cause, and never what a failed statement was given', () => {
  const cause = Object.assign(new Error('duplicate key'), { code: '23505', detail: 'Key (name)=(SECRET)' })
  const failed = new DrizzleQueryError(
    'insert into person values ($1, $2)',
    ['SECRET', 'SECRET\nSECRET'],
    cause,
  )
  expect(failed.message).toContain('SECRET')
  const text = written('info', log => log.warn({ err: failed }, 'trouble'))
  expect(text).not.toContain('SECRET')
  const { err } = JSON.parse(text)
  expect(err).toMatchObject({ message: 'Failed query: insert into person values ($1, $2)' })
  expect(err.cause).toMatchObject({ message: 'duplicate key', errorCode: '23505' })
  expect(err.stack).toMatch(/\n {4}at /)
})
