import './boot/node.mjs'
import { spawn } from 'node:child_process'
import { build } from './boot/build.mjs'
import { install } from './boot/install.mjs'
import { endWithParent } from './boot/parent.mjs'
import { root } from './boot/step.mjs'

// `npm run bench`: measures the built programs.

endWithParent()
await install()
if (!(await build('programs', 'pages'))) process.exit(1)
const child = spawn(process.execPath, ['--import', 'tsx', 'tests/load/bench.ts', ...process.argv.slice(2)], {
  cwd: root,
  stdio: 'inherit',
})
for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP']) process.on(signal, () => child.kill(signal))
child.on('close', (code, signal) => {
  process.exitCode = signal ? 1 : code
})
