import './boot/node.mjs'
import { spawn } from 'node:child_process'
import { readdirSync } from 'node:fs'
import { join } from 'node:path'
import { build } from './boot/build.mjs'
import { install } from './boot/install.mjs'
import { endWithParent } from './boot/parent.mjs'
import { root } from './boot/step.mjs'

// `npm run bench`: everything is bundled as the server is for use, so that what is measured is what runs.

endWithParent()
await install()
if (!(await build('programs', 'pages'))) process.exit(1)
const { build: bundle } = await import('esbuild')
const files = readdirSync(join(root, 'tests', 'load')).filter(file => file.endsWith('.ts'))
await bundle({
  absWorkingDir: root,
  entryPoints: files.map(file => join('tests', 'load', file)),
  outdir: 'dist/load',
  bundle: true,
  packages: 'external',
  platform: 'node',
  format: 'esm',
  target: 'node20',
  sourcemap: true,
  logLevel: 'error',
})
const args = [
  '--max-semi-space-size=32',
  '--enable-source-maps',
  'dist/load/bench.js',
  ...process.argv.slice(2),
]
const child = spawn(process.execPath, args, { cwd: root, stdio: 'inherit' })
for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP']) process.on(signal, () => child.kill(signal))
child.on('close', (code, signal) => {
  process.exitCode = signal ? 1 : code
})
