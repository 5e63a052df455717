import { chmodSync, mkdirSync, readFileSync, renameSync, writeFileSync } from 'node:fs'
import { dirname } from 'node:path'

/** A small JSON file with secrets of this machine: mode 0600, replaced whole or not at all. */
export function readKept<T>(path: string): T | null {
  try {
    return JSON.parse(readFileSync(path, 'utf8')) as T
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return null
    throw error
  }
}

export function keep(path: string, value: unknown): void {
  mkdirSync(dirname(path), { recursive: true })
  const half = `${path}.half`
  writeFileSync(half, `${JSON.stringify(value, null, 2)}\n`, { mode: 0o600 })
  chmodSync(half, 0o600)
  renameSync(half, path)
}
