import { type ChildProcess, fork } from 'node:child_process'
import { randomBytes } from 'node:crypto'
import { join } from 'node:path'
import { connect } from '../../db/connect.ts'
import { migrate } from '../../db/migrate.ts'
import { checkoutFolder } from '../../server/where.ts'

/** One line of a bench. `baseline`: the limit or goal that stands beside it, in the same unit; ratio = value ÷ baseline. */
export type Figure = {
  name: string
  value: number
  unit: string
  baseline: number | null
  ratio: number | null
}

export function figure(name: string, value: number, unit: string, baseline: number | null = null): Figure {
  return { name, value, unit, baseline, ratio: baseline === null ? null : value / baseline }
}

/** A fresh, migrated database on the bench's server; its url. */
export async function freshBenchDatabase(url: string, migrated = true): Promise<string> {
  const name = `bench_${randomBytes(6).toString('hex')}`
  const sql = connect(url, { max: 1, as: 'owner' })
  await sql.unsafe(`create database ${name}`)
  await sql.end()
  const own = new URL(url)
  own.pathname = `/${name}`
  if (migrated) await migrate(own.href)
  return own.href
}

const bundles = join(checkoutFolder(), 'dist', 'load')

/** Runs one of this folder's programs in a process of its own, with the server's own switches (package.json). */
export function startProcess(file: string): ChildProcess {
  return fork(join(bundles, file.replace(/\.ts$/, '.js')), [], {
    execArgv: ['--max-semi-space-size=32', '--expose-gc'],
    stdio: ['ignore', 'inherit', 'inherit', 'ipc'],
  })
}

/** The next message that has this field. Rejects when the process ends or says `error`. */
export function nextMessage<T>(child: ChildProcess, field: string): Promise<T> {
  return new Promise((resolve, reject) => {
    const onMessage = (message: Record<string, unknown>) => {
      if (message.error !== undefined) done(() => reject(new Error(String(message.error))))
      else if (field in message) done(() => resolve(message[field] as T))
    }
    const onExit = () => done(() => reject(new Error(`the process ended before it said ${field}`)))
    const done = (then: () => void) => {
      child.off('message', onMessage)
      child.off('exit', onExit)
      then()
    }
    child.on('message', onMessage)
    child.on('exit', onExit)
  })
}

export function ask<T>(child: ChildProcess, order: unknown, field: string): Promise<T> {
  const answer = nextMessage<T>(child, field)
  child.send(order as object)
  return answer
}

export async function end(...children: ChildProcess[]): Promise<void> {
  await Promise.all(
    children.map(
      child =>
        new Promise<void>(resolve => {
          if (child.exitCode !== null || child.signalCode !== null) return resolve()
          child.once('exit', () => resolve())
          child.kill('SIGKILL')
        }),
    ),
  )
}

/** Percentile of sorted numbers by the nearest rank. */
export function percentile(sorted: readonly number[], share: number): number {
  return sorted[Math.min(sorted.length - 1, Math.max(0, Math.ceil(share * sorted.length) - 1))] ?? Number.NaN
}
