import { existsSync } from 'node:fs'
import { join } from 'node:path'
import { root } from './step.mjs'

/** Whether the packages that only building needs are here; `npm ci --omit=dev` and `npm prune --omit=dev` leave them out. */
export function hasTools() {
  return ['esbuild', 'typescript'].every(name => existsSync(join(root, 'node_modules', name, 'package.json')))
}

/** Where they are missing and something must be built: this installs everything, builds, and leaves them out again. */
export const remedy = 'npm run build && npm prune --omit=dev'
