import type { Server as HttpServer, IncomingMessage, ServerResponse } from 'node:http'
import next from 'next'

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
  const app = next({ dev: false, dir: folder, hostname, port, httpServer })
  await app.prepare()
  const handle = app.getRequestHandler()
  return { handle: (req, res) => handle(req, res), close: () => app.close() }
}
