import { spawn } from 'node:child_process'
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { chromium } from '@playwright/test'
import { checkoutFolder } from '../../server/where.ts'
import { CHROMIUM_ARGS, chromiumPath } from '../support/chromium.ts'
import { type Figure, figure } from './figure.ts'

/** Seconds from `npm run demo` to the board's first picture in a browser: in a fresh clone, and at a second start. */
export async function firstPicture(): Promise<Figure[]> {
  const folder = mkdtempSync(join(tmpdir(), 'sunup-first-'))
  try {
    await run('git', ['clone', '--quiet', checkoutFolder(), folder])
    const fresh = await once(folder)
    const again = await once(folder)
    return [figure('firstPicture.fresh', fresh, 's', 120), figure('firstPicture.again', again, 's', 5)]
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
}

async function once(folder: string): Promise<number> {
  const browser = await chromium.launch({ executablePath: await chromiumPath(), args: CHROMIUM_ARGS })
  const from = performance.now()
  const demo = spawn('npm', ['run', 'demo', '--', '--json'], {
    cwd: folder,
    env: { ...process.env, PORT: '4187' },
    stdio: ['ignore', 'pipe', 'inherit'],
    detached: true,
  })
  try {
    const { desk } = await firstLine(demo.stdout)
    const page = await browser.newPage()
    await page.goto(desk)
    await page.getByRole('button').first().click()
    await page.getByText('Gull Point').first().waitFor({ timeout: 60_000 })
    return (performance.now() - from) / 1_000
  } finally {
    await browser.close()
    const ended = new Promise(resolve => demo.once('exit', resolve))
    if (demo.pid) process.kill(-demo.pid, 'SIGTERM')
    await ended
  }
}

function firstLine(stream: NodeJS.ReadableStream): Promise<{ desk: string }> {
  return new Promise((resolve, reject) => {
    let text = ''
    stream.on('data', chunk => {
      text += chunk
      const line = text.split('\n').find(l => l.startsWith('{'))
      if (line?.endsWith('}')) resolve(JSON.parse(line))
    })
    stream.on('end', () => reject(new Error('the demo ended before it was ready')))
  })
}

function run(command: string, args: string[]): Promise<void> {
  return new Promise((resolve, reject) => {
    spawn(command, args, { stdio: 'inherit' }).on('exit', code =>
      code === 0 ? resolve() : reject(new Error(`${command} ended with ${code}`)),
    )
  })
}
