import { spawnSync } from 'node:child_process'
import { existsSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { root, say, step } from './step.mjs'

const places = {
  linux: [
    // The same engine without the window's parts: the browser tests need two thirds of the time.
    '/usr/bin/chromium-headless-shell',
    '/usr/bin/chromium',
    '/usr/bin/chromium-browser',
    '/usr/bin/google-chrome-stable',
    '/usr/bin/google-chrome',
    '/opt/google/chrome/chrome',
    '/snap/bin/chromium',
  ],
  darwin: [
    '/Applications/Chromium.app/Contents/MacOS/Chromium',
    '/Applications/Google Chrome.app/Contents/MacOS/Google Chrome',
  ],
  win32: ['PROGRAMFILES', 'PROGRAMFILES(X86)', 'LOCALAPPDATA']
    .map(name => process.env[name])
    .filter(Boolean)
    .flatMap(base => [
      `${base}\\Chromium\\Application\\chrome.exe`,
      `${base}\\Google\\Chrome\\Application\\chrome.exe`,
    ]),
}

/** A Chromium that starts: CHROMIUM_PATH, else the usual places, else the test tool's own; null: none. */
export async function findChromium() {
  const named = process.env.CHROMIUM_PATH
  if (named) return existsSync(named) ? named : null
  const found = (places[process.platform] ?? []).find(starts)
  if (found) return found
  const own = await ownChromium()
  return own !== null && existsSync(own) ? own : null
}

/**
 * The same, and where there is none installs one: as root on Debian its package, else the test tool's own.
 * Null, with one line that says what to do, where neither works.
 */
export async function chromiumOrInstall() {
  const found = await findChromium()
  if (found) return found
  if (process.env.CHROMIUM_PATH) {
    say(`CHROMIUM_PATH names no file: ${process.env.CHROMIUM_PATH}`)
    return null
  }
  if (isDebianRoot()) {
    const quiet = { DEBIAN_FRONTEND: 'noninteractive' }
    await step('Reading the package lists', 'apt-get', ['update'], quiet)
    await step(
      'Installing Chromium',
      'apt-get',
      ['install', '-y', '--no-install-recommends', debianPackage()],
      quiet,
    )
  } else {
    await step('Installing Chromium', process.execPath, [
      join(root, 'node_modules/@playwright/test/cli.js'),
      'install',
      'chromium',
    ])
  }
  const installed = await findChromium()
  if (!installed)
    say(
      'No Chromium could be found or installed: install one and name it in CHROMIUM_PATH. The browser tests fail without it.',
    )
  return installed
}

/** The small one where this Debian has it (12 does), else the whole browser. */
function debianPackage() {
  const small = 'chromium-headless-shell'
  return spawnSync('apt-cache', ['show', small], { stdio: 'ignore' }).status === 0 ? small : 'chromium'
}

async function ownChromium() {
  try {
    return (await import('@playwright/test')).chromium.executablePath()
  } catch {
    return null
  }
}

/** Some distributions put a placeholder at the usual place, so the file alone proves nothing. */
function starts(path) {
  if (!existsSync(path)) return false
  return (
    process.platform !== 'linux' ||
    spawnSync(path, ['--version'], { stdio: 'ignore', timeout: 20_000 }).status === 0
  )
}

function isDebianRoot() {
  if (process.platform !== 'linux' || process.getuid() !== 0 || !existsSync('/etc/os-release')) return false
  return /^ID=debian$/m.test(readFileSync('/etc/os-release', 'utf8'))
}
