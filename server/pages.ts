import { existsSync } from 'node:fs'
import type { Server as HttpServer, IncomingMessage, ServerResponse } from 'node:http'
import { join } from 'node:path'
import next from 'next'
import { openPageFiles } from './pageFiles.ts'
import { Stop } from './progress.ts'

/** The pages people see: Next, in our own process behind our own server, built beforehand. */
export type Pages = {
  handle(req: IncomingMessage, res: ServerResponse): Promise<void>
  close(): Promise<void>
}

/** @param folder where `.next` was built: the checkout */
export async function preparePages(
  folder: string,
  hostname: string,
  port: number,
  httpServer: HttpServer,
): Promise<Pages> {
  if (!existsSync(join(folder, '.next', 'BUILD_ID')))
    throw new Stop('The pages are not built: npm run build does it, and so do npm run demo and npm start.')
  const app = next({ dev: false, dir: folder, hostname, port, httpServer })
  await app.prepare()
  const handle = app.getRequestHandler()
  const files = openPageFiles(folder)
  return {
    async handle(req, res) {
      if (!files.handle(req, res)) await handle(req, res)
    },
    close: () => app.close(),
  }
}

/** Where none are served, or not yet. */
export const noPages: Pick<Pages, 'handle'> = {
  handle: async (_request, response) => {
    if (response.statusCode === 200) response.statusCode = 404
    response.end('no pages here')
  },
}
