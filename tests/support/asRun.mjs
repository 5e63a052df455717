import { Console } from 'node:console'
import { endWithParent } from '../../server/cli/boot/parent.mjs'

// Imported before a program of the tests. A run of tests that is killed leaves none behind: as under npm, each ends
// when the process that started it is gone.
process.env.npm_lifecycle_event ??= 'test'
endWithParent()
// The pages' framework talks by console.log, and stdout is for answers.
globalThis.console = new Console(process.stderr)
