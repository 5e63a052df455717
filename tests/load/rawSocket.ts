import WebSocket from 'ws'

/**
 * The least client that speaks the server's wire (socket.io 5 over engine.io 4, websocket only): frames are
 * made and read as text here, so that a load run measures the server and not a client library.
 */
export type RawSocket = {
  /** Resolves with the acknowledgement's first argument. */
  emit<T>(event: string, message: unknown): Promise<T>
  on<T>(event: string, listener: (message: T) => void): void
  /** Gets every event as the text that came, instead of `on`: for a load that has no time to read it all. */
  onText(listener: (text: string) => void): void
  close(): void
}

export function connectRaw(port: number, namespace: string, auth: unknown): Promise<RawSocket> {
  return new Promise((resolve, reject) => {
    const ws = new WebSocket(`ws://127.0.0.1:${port}/socket.io/?EIO=4&transport=websocket`, {
      perMessageDeflate: false,
    })
    const waiting = new Map<number, (answer: unknown) => void>()
    let textListener: ((text: string) => void) | null = null
    const listeners = new Map<string, (message: unknown) => void>()
    const prefix = `${namespace},`
    let next = 0
    const socket: RawSocket = {
      emit: <T>(event: string, message: unknown) =>
        new Promise<T>(done => {
          const id = next++
          waiting.set(id, done as (answer: unknown) => void)
          ws.send(`42${prefix}${id}${JSON.stringify([event, message])}`)
        }),
      on: (event, listener) => listeners.set(event, listener as (message: unknown) => void),
      onText: listener => {
        textListener = listener
      },
      close: () => ws.terminate(),
    }
    ws.on('error', reject)
    ws.on('message', data => {
      const text = String(data)
      if (text[0] === '0') ws.send(`40${prefix}${JSON.stringify(auth)}`)
      else if (text === '2') ws.send('3')
      else if (text.startsWith(`40${prefix}`)) resolve(socket)
      else if (text.startsWith(`44${prefix}`)) reject(new Error(text))
      else if (text.startsWith(`43${prefix}`)) {
        const start = text.indexOf('[')
        const id = Number(text.slice(2 + prefix.length, start))
        const done = waiting.get(id)
        waiting.delete(id)
        done?.(JSON.parse(text.slice(start))[0])
      } else if (text.startsWith(`42${prefix}`)) {
        if (textListener) return textListener(text)
        const [event, message] = JSON.parse(text.slice(text.indexOf('[')))
        listeners.get(event)?.(message)
      }
    })
  })
}
