import type { Server as HttpServer } from 'node:http'
import type { Server } from 'socket.io'
import type { Sql } from '../db/connect.ts'
import type { ClosableLog } from '../db/dayLog.ts'
import type { Pages } from './pages.ts'
import { inStages, leftBehind, STAGE_MS } from './stopping.ts'

type Stops = { stop(): Promise<void> }

/** The house's stop, in the order of what depends on what. Rejects with one line where something was left. */
export async function stopHouse(house: {
  sql: Sql
  log: ClosableLog
  backups: Stops
  keeper: Stops
  live: Stops
  forecaster: { close(): Promise<void> }
  link: { close(): void }
  hub: { close(): void }
  io: Server
  http: HttpServer
  pages: Pages | null
  onTrouble(error: unknown): void
}): Promise<void> {
  const { sql, log, link, hub, io, http, pages, onTrouble } = house
  const { presence } = sql
  // One that hangs is known to be away before anything more is asked of it, one that has come back to be there.
  await presence.hurry()
  const waiting = log.waiting()

  async function leaveCallers() {
    link.close()
    hub.close()
    // Requests that are answered already keep nobody; one that trickles in is cut off.
    const cut = setTimeout(() => http.closeAllConnections(), 2_000)
    await new Promise<void>(resolve => void io.close(() => resolve()))
    clearTimeout(cut)
  }

  const left = await inStages(
    [
      { what: 'the backup under way', ms: STAGE_MS.backups, end: () => house.backups.stop() },
      { what: 'the practice days', ms: STAGE_MS.practices, end: () => house.keeper.stop() },
      { what: 'those who are connected', ms: STAGE_MS.callers, end: leaveCallers },
      {
        what: 'the running days',
        ms: STAGE_MS.days,
        end: () => house.live.stop().finally(() => house.forecaster.close()),
      },
      { what: 'what waited to be written', ms: STAGE_MS.log, end: () => log.close() },
      { what: 'the pages', ms: STAGE_MS.pages, end: async () => pages?.close() },
    ],
    () => presence.away() !== null,
    onTrouble,
  )
  http.closeAllConnections()
  const line = leftBehind(presence.away(), waiting, left)
  await sql.end({ timeout: 5 })
  if (line) throw line
}
