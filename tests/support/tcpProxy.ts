import { connect, createServer, type Server, type Socket } from 'node:net'

/** Stands between a program and its database, and can cut the line at the worst moment. */
export type TcpProxy = {
  url: string
  /**
   * The next time a message to the database holds `text`, it is delivered, and the line is cut before the answer
   * comes back. Resolves when it has been cut.
   */
  cutAfterAnswerTo(text: string): Promise<void>
  /** Cuts every line and takes no new ones until `open`. */
  shut(): Promise<void>
  /** Cuts every line; new ones are taken, counted and closed at once, until `admit`. */
  refuse(): void
  admit(): void
  /** Connections refused so far. */
  refused(): number
  open(): Promise<void>
  close(): Promise<void>
}

export async function tcpProxy(databaseUrl: string): Promise<TcpProxy> {
  const target = new URL(databaseUrl)
  const lines = new Set<Socket>()
  let refusing = false
  let refused = 0
  let armed: { text: string; cut: () => void } | null = null
  const server: Server = createServer(near => {
    if (refusing) {
      refused++
      near.on('error', () => {}).destroy()
      return
    }
    const far = connect(Number(target.port), target.hostname)
    const drop = () => {
      near.destroy()
      far.destroy()
    }
    lines.add(near).add(far)
    let lastAnswer: (() => void) | null = null
    near.on('data', data => {
      if (armed && data.includes(armed.text)) {
        lastAnswer = armed.cut
        armed = null
      }
      far.write(data)
    })
    far.on('data', data => {
      if (!lastAnswer) return void near.write(data)
      // The database has done it; the program never hears.
      drop()
      lastAnswer()
    })
    for (const end of [near, far]) end.on('error', drop).on('close', drop)
  })
  const listen = (port: number) =>
    new Promise<void>((resolve, reject) =>
      server.once('error', reject).listen(port, '127.0.0.1', () => resolve()),
    )
  const cutAll = () => {
    for (const line of lines) line.destroy()
    lines.clear()
  }
  const shut = () =>
    new Promise<void>(resolve => {
      server.close(() => resolve())
      cutAll()
    })
  await listen(0)
  const { port } = server.address() as { port: number }
  const url = new URL(databaseUrl)
  url.port = String(port)
  return {
    url: url.href,
    cutAfterAnswerTo: text =>
      new Promise(resolve => {
        armed = { text, cut: resolve }
      }),
    shut,
    refuse: () => {
      refusing = true
      cutAll()
    },
    admit: () => {
      refusing = false
    },
    refused: () => refused,
    open: () => listen(port),
    close: shut,
  }
}
