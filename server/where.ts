import { existsSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'

/** The checkout that this program runs in, from the sources as from the bundle in dist. */
export function checkoutFolder(): string {
  let folder = dirname(fileURLToPath(import.meta.url))
  while (!existsSync(join(folder, 'next.config.mjs'))) {
    if (folder === dirname(folder))
      throw new Error('Sunup runs inside its checkout: next.config.mjs was not found above it')
    folder = dirname(folder)
  }
  return folder
}

/** How to run another program of the house: bundled beside us, or from its sources. */
export function programArgs(bundle: string, source: string): string[] {
  const here = fileURLToPath(import.meta.url)
  const folder = checkoutFolder()
  return here.startsWith(join(folder, 'dist'))
    ? ['--enable-source-maps', join(dirname(here), bundle)]
    : ['--import', 'tsx', join(folder, source)]
}

/** The address at which this machine reaches a server of ours. */
export function urlHere(host: string, port: number, tls: boolean): string {
  const name = host === '0.0.0.0' || host === '::' ? 'localhost' : host
  return `${tls ? 'https' : 'http'}://${name.includes(':') ? `[${name}]` : name}:${port}`
}
