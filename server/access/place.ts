import type { Access } from './access.ts'

/**
 * Pages are bundled apart from the server they run in, so the running Access is handed to them on globalThis,
 * under a name that both know.
 */
const PLACE = Symbol.for('sunup.access')
type Placed = Pick<Access, 'personOfSession'>

/** Called once by the composition root, before the first page is served. */
export function placeAccess(access: Placed): void {
  ;(globalThis as Record<symbol, unknown>)[PLACE] = access
}

/** Throws where none was placed: a page that can't ask must not be shown. */
export function placedAccess(): Placed {
  const access = (globalThis as Record<symbol, unknown>)[PLACE] as Placed | undefined
  if (access === undefined) throw new Error('No Access was placed: pages are served by server/main.ts only.')
  return access
}
