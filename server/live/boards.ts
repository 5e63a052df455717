import type { Namespace, Server, Socket } from 'socket.io'
import type { Access, Person } from '../access/access.ts'
import { problemsOf, readAs } from '../domain/log/check.ts'
import { snapshotFor } from '../outputs/snapshotFor.ts'
import { picturedFor } from '../outputs/withoutSeals.ts'
import { type Patch, type Snapshot, type SubscribeAnswer, subscribeRequest } from '../protocol/board.ts'
import type { CommandAnswer } from '../protocol/command.ts'
import { type Role, roleSeesSeals } from '../protocol/roles.ts'
import type { Seen } from './patchOf.ts'

/**
 * Boards on the socket: namespace `/board`; a room of each day, the same patch for everybody in it, and a second for
 * those who are to see no seal's number.
 */

export type BoardedDay = {
  log(): string
  cursor(): number
  /** Hash of a late entry; null: too long ago, or there is none. */
  hashAt(position: number): string | null
  snapshot(): Snapshot
  /** Everything that changed after a cursor of this log. */
  patchFrom(cursor: number, seen?: Seen): Patch
  seen(): Seen
}

/** At most four patches a second to each board. */
const PATCH_EVERY_MS = 250
/** A board with more unsent packets than this can't keep up: it is cut off and comes back with its cursor. */
const BOARD_BACKLOG = 64

/** What the room of a day was sent last. */
type Sent = { cursor: number; at: number; timer: NodeJS.Timeout | null; seen: Seen | undefined }

export type BoardHub = {
  /** Something changed: the next patch is due within PATCH_EVERY_MS. */
  changed(day: string): void
  connected(): number
  close(): void
}

export function linkBoards(
  io: Server,
  deps: {
    access: Access
    identify(socket: Socket): Promise<Person | null>
    dayOf(day: string): BoardedDay | null
    /** The same, also of a closed day that nobody has read yet. */
    reach(day: string): Promise<BoardedDay | null>
    command(day: string, person: Person, request: unknown): Promise<CommandAnswer>
    onTrouble(error: unknown): void
    onPatch?(rows: number): void
  },
): BoardHub {
  const boards: Namespace = io.of('/board')
  const sent = new Map<string, Sent>()

  boards.use((socket, next) => {
    deps
      .identify(socket)
      .then(person => {
        if (!person)
          return next(Object.assign(new Error('not-signed-in'), { data: { reason: 'not-signed-in' } }))
        socket.data.person = person
        next()
      })
      .catch(error => {
        deps.onTrouble(error)
        next(Object.assign(new Error('unavailable'), { data: { reason: 'unavailable' } }))
      })
  })

  boards.on('connection', socket => {
    const person = socket.data.person as Person
    socket.join(`person:${person.id}`)
    // A session that ended while this board was being let in was told of before it could be closed by it.
    deps.identify(socket).then(now => {
      if (now?.role !== person.role) socket.disconnect(true)
    }, deps.onTrouble)
    socket.on('subscribe', (request: unknown, answer: unknown) => {
      if (typeof answer !== 'function') return
      subscribe(socket, request).then(
        result => answer(result),
        error => {
          deps.onTrouble(error)
          answer({
            ok: false,
            problems: [{ path: '', message: 'the log can’t be read just now; try again' }],
          } satisfies SubscribeAnswer)
        },
      )
    })
    socket.on('command', (request: unknown, answer: unknown) => {
      if (typeof answer !== 'function') return
      const day = socket.data.day as string | undefined
      // Nothing is wrong with the command: it came before its board did, on a link that has just come back.
      if (!day) return answer(unavailable('subscribe to a day first'))
      deps.command(day, person, request).then(
        result => answer(result),
        error => {
          deps.onTrouble(error)
          answer(unavailable('the log can’t be written just now; try again'))
        },
      )
    })
  })

  async function subscribe(socket: Socket, request: unknown): Promise<SubscribeAnswer> {
    const parsed = readAs(subscribeRequest, request)
    if (!parsed.success) return { ok: false, problems: [...problemsOf(parsed.error)] }
    const day = await deps.reach(parsed.data.day)
    if (!day) return { ok: false, problems: [{ path: 'day', message: 'there is no such running day' }] }
    // What is due goes out first, so that the next patch of the room starts exactly where this board stands.
    send(parsed.data.day)
    const { role } = socket.data.person as Person
    socket.data.day = parsed.data.day
    socket.join(room(parsed.data.day, role))
    const { cursor, log, hash } = parsed.data
    // The identity is the same after a restore from a backup, and the log may have grown past the cursor again.
    if (cursor === undefined || hash === undefined || log !== day.log() || day.hashAt(cursor) !== hash)
      return { ok: true, snapshot: snapshotFor(role, day.snapshot()) }
    return { ok: true, patches: [picturedFor(role, day.patchFrom(cursor))] }
  }

  function stateOf(dayId: string) {
    let state = sent.get(dayId)
    if (!state) {
      state = { cursor: 0, at: 0, timer: null, seen: undefined }
      sent.set(dayId, state)
    }
    return state
  }

  function send(dayId: string) {
    const day = deps.dayOf(dayId)
    if (!day) return
    const state = stateOf(dayId)
    if (state.timer) clearTimeout(state.timer)
    state.timer = null
    const rooms = LOOKS.map(role => ({ role, name: room(dayId, role) }))
    const members = rooms.flatMap(({ name }) => [...(boards.adapter.rooms.get(name) ?? [])])
    const from = state.cursor
    state.cursor = day.cursor()
    state.at = performance.now()
    if (members.length === 0) return
    for (const id of members) {
      const socket = boards.sockets.get(id)
      const backlog =
        (socket?.conn as unknown as { writeBuffer?: unknown[] } | undefined)?.writeBuffer?.length ?? 0
      if (socket && backlog > BOARD_BACKLOG) socket.disconnect(true)
    }
    const patch = day.patchFrom(from, state.seen)
    state.seen = day.seen()
    deps.onPatch?.(patch.rows.length)
    for (const { role, name } of rooms)
      if (boards.adapter.rooms.has(name)) boards.to(name).emit('patch', picturedFor(role, patch))
  }

  const stopListening = deps.access.onRevoked(({ person }) => {
    if (person) boards.in(`person:${person}`).disconnectSockets(true)
  })

  return {
    changed: dayId => {
      const state = stateOf(dayId)
      if (state.timer) return
      const wait = Math.max(0, state.at + PATCH_EVERY_MS - performance.now())
      state.timer = setTimeout(() => send(dayId), wait)
    },
    connected: () => boards.sockets.size,
    close: () => {
      stopListening()
      for (const state of sent.values()) if (state.timer) clearTimeout(state.timer)
    },
  }
}

/** One role for each way to see a patch. */
const LOOKS: readonly Role[] = ['desk', 'receiving']

function room(day: string, role: Role): string {
  return roleSeesSeals(role) ? `board:${day}` : `board:${day}:without-seals`
}

function unavailable(message: string): CommandAnswer {
  return { ok: false, refusal: { reason: 'unavailable', message } }
}
