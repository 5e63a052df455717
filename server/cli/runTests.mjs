import './boot/node.mjs'
import { spawn } from 'node:child_process'
import { existsSync, mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { build } from './boot/build.mjs'
import { chromiumOrInstall } from './boot/chromium.mjs'
import { install } from './boot/install.mjs'
import { endWithParent } from './boot/parent.mjs'
import { crashed, playwrightResults, vitestResults } from './boot/results.mjs'
import { root } from './boot/step.mjs'

// `npm test`: whatever is missing is installed and built, then everything runs. Paths after `--` narrow the run:
// those under tests/browser go to the browser tests, the others to the rest. The last line is `N passed, N failed`.

const words = process.argv.slice(2)
const paths = words.filter(word => !word.startsWith('-'))
const inBrowser = paths.filter(path => path.includes('tests/browser'))
const outside = words.filter(word => !inBrowser.includes(word))
const runBrowser = paths.length === 0 || inBrowser.length > 0
const runOthers = paths.length === 0 || inBrowser.length < paths.length
/** Pure tests need nothing built. */
const needsBuild =
  runBrowser ||
  outside.some(path => !/tests\/(domain|house|reference|screens)\b/.test(path)) ||
  paths.length === 0

endWithParent()
let running = null
for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP']) {
  process.once(signal, () => {
    running?.kill(signal)
    process.exit(1)
  })
}
await install()
const samples = process.env.SUNUP_CONFORMANCE
const conforms = samples !== undefined && existsSync(samples)
if (!conforms && (paths.length === 0 || paths.some(path => path.includes('tests/conformance'))))
  process.stderr.write(
    `The conformance tests are left out: SUNUP_CONFORMANCE names no folder of published samples${samples ? ` (${samples})` : ''}.\n`,
  )
const results = []
const built = !needsBuild || (await build('programs', 'pages'))
if (!built) results.push(crashed('build', 'it failed; see above'))
const folder = mkdtempSync(join(tmpdir(), 'sunup-results-'))
try {
  if (runOthers) {
    const file = join(folder, 'vitest.json')
    const args = ['run', '--reporter=default', '--reporter=json', `--outputFile.json=${file}`, ...outside]
    const env = conforms ? { SUNUP_CONFORMANCE: samples } : {}
    results.push(vitestResults(file, await run('node_modules/vitest/vitest.mjs', args, env)))
  }
  if (runBrowser && built) {
    const file = join(folder, 'playwright.json')
    const env = { PLAYWRIGHT_JSON_OUTPUT_FILE: file }
    const chromium = await chromiumOrInstall()
    if (chromium) env.CHROMIUM_PATH = chromium
    const code = await run('node_modules/@playwright/test/cli.js', ['test', ...inBrowser], env)
    results.push(playwrightResults(file, code))
  }
} finally {
  rmSync(folder, { recursive: true, force: true })
}

const failures = results.flatMap(result => result.failures)
const passed = results.reduce((sum, result) => sum + result.passed, 0)
const failed = results.reduce((sum, result) => sum + result.failed, 0)
const lines = failures.map(({ title, message }) => `✗ ${title.replace(`${root}/`, '')}\n${indent(message)}`)
process.exitCode = failed > 0 || passed === 0 ? 1 : 0
process.stdout.write(`\n${lines.map(line => `${line}\n`).join('')}${passed} passed, ${failed} failed\n`)

function run(script, args, env = {}) {
  return new Promise(resolve => {
    const child = spawn(process.execPath, [join(root, script), ...args], {
      cwd: root,
      env: { ...testEnvironment(), ...env },
      stdio: ['ignore', 'inherit', 'inherit'],
    })
    running = child
    child.once('error', () => resolve(1))
    child.once('close', (code, signal) => resolve(signal ? 1 : code))
  })
}

/** Without settings of Sunup: a test must not reach the data of a real day, whatever this shell has set. */
function testEnvironment() {
  const ours = name => name.startsWith('SUNUP_') || ['DATABASE_URL', 'PORT', 'HOST'].includes(name)
  return Object.fromEntries(Object.entries(process.env).filter(([name]) => !ours(name)))
}

/** The first lines of a failure; the whole of it stands above, where the runner printed it. */
function indent(message) {
  return message
    .split('\n')
    .slice(0, 8)
    .map(line => `    ${line}`)
    .join('\n')
}
