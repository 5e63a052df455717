import './boot/node.mjs'
import { build } from './boot/build.mjs'
import { install } from './boot/install.mjs'

// `npm run sunup -- …`: the command line, built when its sources changed.

await install('programs')
if (!(await build('programs'))) process.exit(1)
process.setSourceMapsEnabled(true)
await import('../../dist/sunup.js')
