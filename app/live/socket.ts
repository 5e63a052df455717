import { io, type Socket } from 'socket.io-client'
import type { Patch, SubscribeAnswer } from '../../server/protocol/board.ts'
import type { CommandAnswer, CommandBody, CommandKind } from '../../server/protocol/command.ts'
import { type BoardStore, makeBoardStore } from './boardStore.ts'

/** `id`: of an earlier try that no answer came to; without it a fresh one. */
export type SendCommand = <K extends CommandKind>(
  kind: K,
  body: CommandBody<K>,
  id?: string,
) => Promise<CommandAnswer>
export type BoardLink = { store: BoardStore; send: SendCommand; end(): void }

const SUBSCRIBE_MS = 10_000
const COMMAND_MS = 4_000
/** The id makes a command that is sent again harmless, so an answer that was lost is asked for again. */
const COMMAND_TRIES = 3

/** A random id. `randomUUID` is missing where the page was not reached over a secure context. */
export function freshId(): string {
  if (typeof crypto.randomUUID === 'function') return crypto.randomUUID()
  const bytes = crypto.getRandomValues(new Uint8Array(16))
  bytes[6] = (bytes[6]! & 0x0f) | 0x40
  bytes[8] = (bytes[8]! & 0x3f) | 0x80
  const hex = Array.from(bytes, b => b.toString(16).padStart(2, '0')).join('')
  return [hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20), hex.slice(20)].join('-')
}

/**
 * Joins a board store to the server's /board namespace. The session is the cookie's.
 * The store's place in the log, not the socket library's own memory, is what survives a break.
 */
export function openBoard(day: string, url = '/board'): BoardLink {
  const socket: Socket = io(url, {
    transports: ['websocket'],
    reconnectionDelay: 500,
    reconnectionDelayMax: 5_000,
    randomizationFactor: 0.5,
    withCredentials: true,
  })
  const store = makeBoardStore({
    day,
    subscribe: request =>
      socket.timeout(SUBSCRIBE_MS).emitWithAck('subscribe', request) as Promise<SubscribeAnswer>,
    wall: () => Date.now(),
    later: (milliseconds, what) => {
      setTimeout(what, milliseconds)
    },
  })
  let ended = false
  let again: ReturnType<typeof setTimeout> | undefined
  socket.on('connect', () => store.connected())
  socket.on('disconnect', reason => {
    if (ended) return
    store.lost()
    // Closed by the server on purpose: the library doesn't come back by itself. If the session is gone, the
    // next attempt says so.
    if (reason === 'io server disconnect') again = setTimeout(() => socket.connect(), 2_000)
  })
  socket.on('connect_error', error => {
    store.lost()
    if (socket.active) return
    // The server itself said no (a failure of the link would leave the socket active).
    if (error.message === 'not-signed-in') store.refuse('The session has ended: sign in again.')
    again = setTimeout(() => socket.connect(), 10_000)
  })
  socket.on('patch', (patch: Patch) => store.patch(patch))
  socket.io.on('ping', () => store.heard())

  async function send<K extends CommandKind>(
    kind: K,
    body: CommandBody<K>,
    id: string = freshId(),
  ): Promise<CommandAnswer> {
    const request = { id, kind, body }
    for (let tries = 0; tries < COMMAND_TRIES && socket.connected; tries++) {
      try {
        return (await socket.timeout(COMMAND_MS).emitWithAck('command', request)) as CommandAnswer
      } catch {
        // No answer in time: asked again with the same id.
      }
    }
    return {
      ok: false,
      refusal: {
        reason: 'unavailable',
        message:
          'No answer from the server. It may not have been recorded: look at the list once the link is back.',
      },
    }
  }

  return {
    store,
    send,
    end() {
      ended = true
      clearTimeout(again)
      socket.disconnect()
    },
  }
}
