import './boot/node.mjs'
import { Console } from 'node:console'
import { build } from './boot/build.mjs'
import { install } from './boot/install.mjs'
import { endWithParent } from './boot/parent.mjs'

// `npm run demo` and `npm start`: whatever is missing is installed and built, then the server runs in this very
// process, so that signals and exit codes need no carrying.

endWithParent()
await install('programs', 'pages')
if (!(await build('programs', 'pages'))) process.exit(1)
process.env.NODE_ENV ??= 'production'
process.setSourceMapsEnabled(true)
// Next says what it does by console.log; stdout belongs to what the command answers.
globalThis.console = new Console(process.stderr)
await import('../../dist/main.js')
