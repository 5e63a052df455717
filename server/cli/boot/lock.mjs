import { readFileSync, renameSync, rmSync, statSync, utimesSync, writeFileSync } from 'node:fs'
import { say } from './step.mjs'

const TOUCHED_EVERY_MS = 5_000
/** A process that was killed may have left a program at work that touches nothing: it gets so long. */
const LEFT_AFTER_MS = 300_000

/**
 * Whether a lock is nobody's any more. `alive`: whether any process that it names is; null: it names none (yet).
 * An id may have gone to another process since, so one that nobody has touched for five minutes is not believed.
 */
export function isLeft({ alive, ageMs }) {
  return alive === false || ageMs > LEFT_AFTER_MS
}

/**
 * Does `work` while no other process holds the lock file, and waits for one that does (`waiting` is said once).
 * `work` is given a function that adds to the lock the id of a program it has started: should this process be
 * killed, the lock holds as long as that program runs.
 */
export async function alone(lock, waiting, work) {
  await take(lock, waiting)
  const touch = setInterval(() => {
    try {
      utimesSync(lock, new Date(), new Date())
    } catch {
      // Somebody has deleted it; the work goes on.
    }
  }, TOUCHED_EVERY_MS)
  touch.unref()
  try {
    return await work(pid => writeFileSync(lock, `${process.pid} ${pid}`))
  } finally {
    clearInterval(touch)
    rmSync(lock, { force: true })
  }
}

async function take(lock, waiting) {
  let said = false
  for (;;) {
    try {
      writeFileSync(lock, String(process.pid), { flag: 'wx' })
      return
    } catch (error) {
      if (error.code !== 'EEXIST') throw error
    }
    const holder = textOf(lock)
    if (holder !== null && isLeft({ alive: anyAlive(holder), ageMs: ageOf(lock) })) remove(lock, holder)
    else {
      if (!said) say(`${waiting} (process ${holder}); waiting for it …`)
      said = true
      await new Promise(resolve => setTimeout(resolve, 200))
    }
  }
}

/** Two may find the same left lock: the slower one must not remove what the quicker one has put there since. */
function remove(lock, holder) {
  const aside = `${lock}.${process.pid}`
  try {
    renameSync(lock, aside)
  } catch {
    return
  }
  if (textOf(aside) === holder) rmSync(aside, { force: true })
  else renameSync(aside, lock)
}

function anyAlive(holder) {
  const pids = holder.split(' ').map(Number).filter(Boolean)
  return pids.length === 0 ? null : pids.some(isAlive)
}

function textOf(file) {
  try {
    return readFileSync(file, 'utf8')
  } catch {
    return null
  }
}

/** Milliseconds since a file was touched; 0 where it isn't there. */
function ageOf(file) {
  try {
    return Date.now() - statSync(file).mtimeMs
  } catch {
    return 0
  }
}

function isAlive(pid) {
  try {
    process.kill(pid, 0)
    return true
  } catch (error) {
    return error.code === 'EPERM'
  }
}
