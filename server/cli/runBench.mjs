import './boot/node.mjs'
import { spawn } from 'node:child_process'
import { readdirSync } from 'node:fs'
import { join } from 'node:path'
import { build, bundle } from './boot/build.mjs'
import { install } from './boot/install.mjs'
import { endWithParent } from './boot/parent.mjs'
import { root } from './boot/step.mjs'

// `npm run bench`: everything is bundled as the server is for use, so that what is measured is what runs.

endWithParent()
await install()
if (!(await build('programs', 'pages'))) process.exit(1)
const files = readdirSync(join(root, 'tests', 'load')).filter(file => file.endsWith('.ts'))
await bundle(
  files.map(file => join('tests', 'load', file)),
  'dist/load',
)
const args = [
  '--max-semi-space-size=32',
  '--expose-gc',
  '--enable-source-maps',
  'dist/load/bench.js',
  ...process.argv.slice(2),
]
const child = spawn(process.execPath, args, { cwd: root, stdio: 'inherit' })
for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP']) process.on(signal, () => child.kill(signal))
child.on('close', (code, signal) => {
  process.exitCode = signal ? 1 : code
})
