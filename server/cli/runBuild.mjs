import './boot/node.mjs'
import { build } from './boot/build.mjs'
import { install } from './boot/install.mjs'

await install()
process.exitCode = (await build('programs', 'pages')) ? 0 : 1
