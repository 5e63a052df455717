import { chmodSync, mkdirSync, readFileSync, renameSync, writeFileSync } from 'node:fs'
import { dirname } from 'node:path'
import { Stop } from './progress.ts'

/** A small JSON file with secrets of this machine: mode 0600, replaced whole or not at all. */
export function readKept<T>(path: string): T | null {
  let text: string
  try {
    text = readFileSync(path, 'utf8')
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException
    if (code === 'ENOENT') return null
    throw new Stop(`${path} can't be read (${code}).`)
  }
  try {
    return JSON.parse(text) as T
  } catch {
    throw new Stop(`${path} is not what Sunup wrote there: remove it, then start again.`)
  }
}

export function keep(path: string, value: unknown): void {
  mkdirSync(dirname(path), { recursive: true })
  const half = `${path}.half`
  writeFileSync(half, `${JSON.stringify(value, null, 2)}\n`, { mode: 0o600 })
  chmodSync(half, 0o600)
  renameSync(half, path)
}
