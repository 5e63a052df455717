import { linkSync, readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs'

/** A file that can't be used, in a sentence that says what to do. */
export class FileTrouble extends Error {
  override name = 'FileTrouble'
}

/**
 * Keeps a file for this process alone: two would give the same number twice. What a killed process left behind is
 * taken over. @returns what lets it go; @throws FileTrouble where another process has it
 */
export function lockFile(path: string): () => void {
  const lock = `${path}.lock`
  const mine = `${lock}.${process.pid}`
  for (let tries = 0; ; tries++) {
    try {
      // Whole before it stands under the name that counts.
      writeFileSync(mine, String(process.pid), { mode: 0o600 })
      linkSync(mine, lock)
      return () => rmSync(lock, { force: true })
    } catch (error) {
      const code = codeOf(error)
      if (code === 'ENOENT') throw new FileTrouble(`${path} is not there: sunup device enrol makes it.`)
      if (code !== 'EEXIST')
        throw new FileTrouble(
          `${lock} can't be written (${code}): the folder must be this user's to write to.`,
        )
    } finally {
      rmSync(mine, { force: true })
    }
    const holder = Number(textOf(lock))
    if (tries > 2 || isAlive(holder))
      throw new FileTrouble(
        `${path} is in use by process ${holder}: say it to that one, or wait for its end. Where no such program runs, remove ${lock}.`,
      )
    takeAway(lock, holder, mine)
  }
}

/** Two may find the same left lock: the slower one must not remove what the quicker one has put there since. */
function takeAway(lock: string, holder: number, aside: string) {
  try {
    renameSync(lock, aside)
  } catch {
    return
  }
  if (Number(textOf(aside)) === holder) rmSync(aside, { force: true })
  else renameSync(aside, lock)
}

function isAlive(pid: number): boolean {
  if (!(pid > 0)) return false
  try {
    process.kill(pid, 0)
    return true
  } catch (error) {
    return codeOf(error) === 'EPERM'
  }
}

function textOf(path: string): string {
  try {
    return readFileSync(path, 'utf8')
  } catch {
    return ''
  }
}

export function codeOf(error: unknown): string {
  return (error as NodeJS.ErrnoException).code ?? String(error)
}
