import { spawn } from 'node:child_process'
import { mkdirSync, mkdtempSync, rmSync, statSync } from 'node:fs'
import { createServer } from 'node:net'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { createInterface } from 'node:readline'
import { chromium } from '@playwright/test'
import { findChromium } from '../../server/cli/boot/chromium.mjs'
import { root, say } from '../../server/cli/boot/step.mjs'

// `npm run screenshot`: the README's pictures, taken from a practice day of its own that runs while they are taken.
// FROM and FOLDER (`npm run screenshot -- 10:55 /tmp/look`) are for looking at other hours of the day.

const [from = '09:26', folder = join(root, 'public', 'readme')] = process.argv.slice(2)
const MOST_BYTES = 300 * 1024

const data = mkdtempSync(join(tmpdir(), 'sunup-screenshot-'))
let server = null
let browser = null
try {
  mkdirSync(folder, { recursive: true })
  const executablePath = await findChromium()
  if (!executablePath) throw new Error('No Chromium was found: npm test installs one.')
  const day = await startDay()
  browser = await chromium.launch({
    executablePath,
    args: ['--no-sandbox', '--disable-dev-shm-usage', '--disable-gpu'],
  })
  await desk(day)
  await precinct(day)
} finally {
  await browser?.close()
  await end(server)
  rmSync(data, { recursive: true, force: true })
}

async function desk(day) {
  const page = await pageOf({ width: 1366, height: 768 })
  await page.goto(day.desk)
  await page.getByRole('button', { name: 'Sign in' }).click()
  await page.getByText('64 rows').waitFor()
  await page.getByRole('article').first().waitFor()
  await page.locator('svg.recharts-surface').first().waitFor()
  await picture(page, 'desk.png')
}

async function precinct(day) {
  const page = await pageOf({ width: 390, height: 844 })
  await page.goto(day.precinct)
  await page.getByRole('button', { name: 'Enrol', exact: true }).click()
  await page.getByRole('heading', { name: 'Next' }).waitFor()
  await page.getByText(/^Office has everything, last heard you/).waitFor()
  await picture(page, 'precinct.png')
}

async function pageOf(viewport) {
  const context = await browser.newContext({ viewport, colorScheme: 'light', reducedMotion: 'reduce' })
  return context.newPage()
}

async function picture(page, name) {
  await page.evaluate(() => document.fonts.ready)
  // Two patches of the board, so that what came with the first look has settled.
  await page.waitForTimeout(1_500)
  const path = join(folder, name)
  await page.screenshot({ path })
  const { size } = statSync(path)
  if (size > MOST_BYTES) throw new Error(`${path} has ${size} bytes, more than ${MOST_BYTES}`)
  say(`${path}, ${Math.round(size / 1024)} KB`)
}

/** Starts a practice day at an hour of its own, in a folder that is thrown away; what it prints when it is ready. */
async function startDay() {
  const args = ['server/cli/runServer.mjs', 'demo', '--json', '--from', from, '--speed', '1']
  server = spawn(process.execPath, args, {
    cwd: root,
    env: { ...process.env, SUNUP_DATA: data, PORT: String(await freePort()) },
    stdio: ['ignore', 'pipe', 'inherit'],
  })
  for await (const line of createInterface({ input: server.stdout })) return JSON.parse(line)
  throw new Error('the practice day ended before it was ready')
}

function freePort() {
  return new Promise((resolve, reject) => {
    const probe = createServer()
    probe.once('error', reject)
    probe.listen(0, '127.0.0.1', () => {
      const { port } = probe.address()
      probe.close(() => resolve(port))
    })
  })
}

async function end(child) {
  if (!child || child.exitCode !== null || child.signalCode !== null) return
  const ended = new Promise(resolve => child.once('exit', resolve))
  child.kill('SIGTERM')
  await ended
}
