import { findChromium } from '../../server/cli/boot/chromium.mjs'

/** Switches for a Chromium in a container without a screen, a big /dev/shm or a network. */
export const CHROMIUM_ARGS = [
  '--no-sandbox',
  '--disable-dev-shm-usage',
  '--disable-gpu',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
]

/** Path of a Chromium that starts. Throws, with what to do, where there is none (`npm test` installs one). */
export async function chromiumPath(): Promise<string> {
  const path = await findChromium()
  if (path === null) throw new Error('No Chromium was found: install one and name it in CHROMIUM_PATH.')
  return path
}
