import { spawn } from 'node:child_process'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'

/** The checkout. */
export const root = join(dirname(fileURLToPath(import.meta.url)), '..', '..', '..')

/** Progress goes to stderr: stdout belongs to what a command answers. */
export function say(line) {
  process.stderr.write(`${line}\n`)
}

/**
 * Runs a program to its end, quietly. Over two seconds it says what is under way, then every ten seconds for how
 * long. Its output is shown only where it fails, the last 60 lines. `started` is told its process id. Resolves
 * with whether it ended well.
 */
export function step(what, command, args, env = {}, started = () => {}) {
  return new Promise(resolve => {
    const since = Date.now()
    let output = ''
    const child = spawn(command, args, {
      cwd: root,
      env: { ...process.env, ...env },
      stdio: ['ignore', 'pipe', 'pipe'],
      // npm is a .cmd file on Windows.
      shell: process.platform === 'win32' && !command.includes('\\'),
    })
    if (child.pid !== undefined) started(child.pid)
    const keep = chunk => {
      output = (output + chunk).slice(-40_000)
    }
    child.stdout.on('data', keep)
    child.stderr.on('data', keep)
    let repeat
    const first = setTimeout(() => {
      say(`${what} …`)
      repeat = setInterval(() => say(`${what} … ${Math.round((Date.now() - since) / 1_000)} s`), 10_000)
    }, 2_000)
    const end = (good, reason) => {
      clearTimeout(first)
      clearInterval(repeat)
      if (!good) say(`${output.trimEnd().split('\n').slice(-60).join('\n')}\n${what} failed: ${reason}.`)
      resolve(good)
    }
    child.once('error', error => end(false, error.message))
    child.once('close', (code, signal) => end(code === 0, signal ?? `exit code ${code}`))
  })
}
