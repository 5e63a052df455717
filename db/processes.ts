import { execFileSync } from 'node:child_process'
import { readdirSync, readFileSync, readlinkSync } from 'node:fs'
import { setTimeout as sleep } from 'node:timers/promises'

/** What the system says of a process: enough to tell it from another that was given its number later. */
export type Seen = { command: string; zombie: boolean; startedAt: string }

/** null: there is no such process. */
export function lookAt(pid: number): Seen | null {
  return process.platform === 'linux' ? fromProc(pid) : fromPs(pid)
}

function fromProc(pid: number): Seen | null {
  try {
    const stat = readFileSync(`/proc/${pid}/stat`, 'utf8')
    // The command stands in parentheses and may hold anything; the fields after it are counted from its end.
    const end = stat.lastIndexOf(')')
    const fields = stat.slice(end + 2).split(' ')
    const state = fields[0]
    return {
      command: stat.slice(stat.indexOf('(') + 1, end),
      zombie: state === 'Z' || state === 'X',
      startedAt: fields[19] ?? '',
    }
  } catch {
    return null
  }
}

function fromPs(pid: number): Seen | null {
  try {
    const line = execFileSync('ps', ['-o', 'stat=,lstart=,comm=', '-p', String(pid)], {
      encoding: 'utf8',
    }).trim()
    const [stat = '', ...rest] = line.split(/\s+/)
    if (stat === '') return null
    return {
      command: rest.slice(5).join(' ').split('/').at(-1) ?? '',
      zombie: stat.startsWith('Z'),
      startedAt: rest.slice(0, 5).join(' '),
    }
  } catch {
    return null
  }
}

/** Living processes that work in this folder. Where the system doesn't tell (not Linux): none. */
export function processesIn(folder: string): number[] {
  if (process.platform !== 'linux') return []
  return readdirSync('/proc')
    .filter(name => /^\d+$/.test(name))
    .filter(name => {
      try {
        return readlinkSync(`/proc/${name}/cwd`) === folder && fromProc(Number(name))?.zombie === false
      } catch {
        return false
      }
    })
    .map(Number)
}

/** Whether `done` came true within `ms`, asked every 20 ms. */
export async function within(ms: number, done: () => boolean): Promise<boolean> {
  const end = performance.now() + ms
  while (!done()) {
    if (performance.now() > end) return false
    await sleep(20)
  }
  return true
}

/** Sends a signal; false where the process is gone already. */
export function signal(pid: number, name: NodeJS.Signals): boolean {
  try {
    return process.kill(pid, name)
  } catch {
    return false
  }
}
