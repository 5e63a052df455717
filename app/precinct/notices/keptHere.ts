import { z } from 'zod'

/** Small choices of this browser. Where it keeps nothing they hold until the page is closed. */
const memory = new Map<string, string>()

function read(name: string): string | null {
  try {
    return localStorage.getItem(name) ?? memory.get(name) ?? null
  } catch {
    return memory.get(name) ?? null
  }
}

function write(name: string, value: string) {
  try {
    localStorage.setItem(name, value)
    memory.delete(name)
  } catch {
    memory.set(name, value)
  }
}

const SILENCED = 'sunup-silenced'
export const isSilenced = () => read(SILENCED) === 'yes'
export const keepSilenced = (silenced: boolean) => write(SILENCED, silenced ? 'yes' : 'no')

const ids = z.array(z.int()).max(1_000)
const closedName = (day: string, precinct: string) => `sunup-closed:${day}:${precinct}`

/** Positions of the notices that were closed on this tablet. */
export function closedNotices(day: string, precinct: string): ReadonlySet<number> {
  try {
    return new Set(ids.parse(JSON.parse(read(closedName(day, precinct)) ?? '[]')))
  } catch {
    return new Set()
  }
}

export function keepClosed(day: string, precinct: string, closed: ReadonlySet<number>) {
  write(closedName(day, precinct), JSON.stringify([...closed].slice(-1_000)))
}
