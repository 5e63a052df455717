import { fromRfc3339, type Instant } from '../../server/domain/time.ts'
import {
  type DevicePlan,
  dayIsClosed,
  devicePlan,
  heard,
  heartbeatAnswer,
  NOTICES,
  notice,
  reportAnswer,
  WIRE,
} from '../../server/protocol/device.ts'
import { dayTimeAt, type HeardClock, heardClock } from './deviceClock.ts'
import type { SteadyClock } from './deviceDating.ts'
import type { Identity } from './deviceEnrol.ts'
import { type Battery, heartbeatOf } from './deviceHeartbeat.ts'
import type { DeviceKeep } from './deviceKeep.ts'
import { type KeptHeard, type KeptPlan, keptPlan } from './deviceKept.ts'
import { downNow, foldSaid, saidAtAll, saidSince } from './deviceSaid.ts'
import { createOutbox, type Outbox, type OutboxDeps } from './outbox.ts'
import type { OutboxStore } from './outboxStore.ts'

/**
 * One device's line to the office: connects, beats, and gives the outbox its way out. Each request is refused
 * here while there is no link, so nothing is buffered but in the outbox. The socket library reconnects by
 * itself with jitter; only where the server ended the link do we ask again.
 */
export type DeviceLinkState = {
  /** `key-lost`: the office no longer knows this device. `too-old`: this page speaks an older wire. */
  link: 'connecting' | 'up' | 'down' | 'key-lost' | 'too-old'
  /** Wall time since when. */
  since: number
  plan: DevicePlan | null
  /** Wall time of the plan's arrival: what was dealt with later isn't in `plan.has`. */
  planAt: number
  clock: HeardClock | null
  /** Day time at which the office last heard this device, by an answer of its own. */
  lastHeard: Instant | null
  /** What must outlive the page couldn't be written: a reload may lose it. */
  keepTrouble: boolean
  /** The office takes no more reports of this day: what waits stays here. */
  dayClosed: boolean
}

/** The part of a socket.io-client socket that is used. */
export type LinkSocket = {
  connected: boolean
  active: boolean
  connect(): unknown
  disconnect(): unknown
  on(event: string, listener: (...args: never[]) => void): unknown
  timeout(ms: number): { emitWithAck(event: string, ...args: unknown[]): Promise<unknown> }
}

export type DeviceLinkDeps = {
  identity: Identity
  store: OutboxStore
  keep: DeviceKeep
  socket: LinkSocket
  clock: OutboxDeps['clock']
  random(): number
  /** Tells whether this device's clock was set meanwhile; without it nobody looks. */
  steady?: Pick<SteadyClock, 'heard' | 'onSet' | 'asksOffice'>
  alone?: OutboxDeps['alone']
  battery?(): Promise<Battery | null>
}

export type DeviceLink = {
  outbox: Outbox
  state(): DeviceLinkState
  subscribe(listener: () => void): () => void
  dayNow(): Instant | null
  start(): Promise<void>
  stop(): void
}

const LINK = {
  /** No answer after this many ms counts as none: the request is made again. */
  answerWithin: 15_000,
  /** Heartbeats are never closer than this, however fast the day's clock runs; ms. */
  fastestBeat: 1_000,
  /** The first beat after connecting waits no longer for the plan, ms. */
  planWithin: 2_000,
  /** The server ended the link: asked again after about this long, ms. */
  askAgain: 2_000,
} as const

export function createDeviceLink(deps: DeviceLinkDeps): DeviceLink {
  const { identity, socket, clock, keep } = deps
  const listeners = new Set<() => void>()
  let state: DeviceLinkState = {
    link: 'connecting',
    since: clock.now(),
    plan: null,
    planAt: 0,
    clock: null,
    lastHeard: null,
    keepTrouble: false,
    dayClosed: false,
  }
  let stopped = false
  let awaitingPlan = false
  /** The outbox waits for the office's time, so that what waits is dated by it. */
  let heardFirst = false
  let cancelBeat: (() => void) | null = null
  let cancelAsk: (() => void) | null = null

  function set(change: Partial<DeviceLinkState>) {
    state = { ...state, ...change }
    for (const listener of listeners) listener()
  }
  function setLink(link: DeviceLinkState['link']) {
    if (state.link !== link) set({ link, since: clock.now() })
  }
  function remember(name: string, value: unknown) {
    keep.write(`${name}:${identity.device}`, value).then(
      () => state.keepTrouble && set({ keepTrouble: false }),
      () => state.keepTrouble || set({ keepTrouble: true }),
    )
  }
  const dayNow = () => (state.clock ? dayTimeAt(state.clock, clock.now()) : null)

  function heardAt(day: Instant | null) {
    if (day === null || (state.lastHeard !== null && day <= state.lastHeard)) return
    set({ lastHeard: day })
    remember('heard', { lastHeard: day, clock: state.clock })
  }

  async function ask(event: string, message: unknown): Promise<unknown> {
    if (!socket.connected) throw new Error('no link')
    return socket.timeout(LINK.answerWithin).emitWithAck(event, message)
  }

  const outbox = createOutbox({
    store: deps.store,
    clock,
    random: deps.random,
    dayNow,
    alone: deps.alone,
    linked: () => socket.connected,
    transport: async request => reportAnswer.parse(await ask('report', request)),
    onAcknowledged: () => heardAt(dayNow()),
  })

  async function beat() {
    cancelBeat?.()
    cancelBeat = null
    awaitingPlan = false
    if (stopped || !socket.connected) return
    const battery = (await deps.battery?.().catch(() => null)) ?? null
    const box = outbox.state()
    const down = downNow(state.plan?.has.down ?? [], foldSaid(saidSince(box.reports, state.planAt)))
    const body = heartbeatOf(foldSaid(saidAtAll(box.reports)), down, box.waiting, battery)
    const answer = await ask('heartbeat', { sentAt: new Date(clock.now()).toISOString(), ...body })
      .then(a => heartbeatAnswer.parse(a))
      .catch(() => null)
    if (answer?.ok) {
      const recordedAt = fromRfc3339(answer.recordedAt)
      heardAt(recordedAt)
      officeSaid(recordedAt)
      outbox.officeHas(answer.upTo)
    }
    const wait = answer && !answer.ok && answer.retryAfter ? answer.retryAfter : 0
    planBeat(Math.max(wait, beatEvery(state)))
  }

  function planBeat(ms: number) {
    if (stopped || !socket.connected) return
    cancelBeat?.()
    // A tenth of play, so that a county's devices don't beat in step.
    cancelBeat = clock.after(ms * (0.9 + deps.random() / 5), () => void beat())
  }

  function askAgain(ms: number) {
    if (stopped) return
    cancelAsk?.()
    cancelAsk = clock.after(ms * (0.5 + deps.random()), () => {
      if (!stopped && !socket.connected) socket.connect()
    })
  }

  function onPlan(message: unknown) {
    const parsed = devicePlan.safeParse(message)
    if (!parsed.success || parsed.data.wire !== WIRE.version) return setLink('too-old')
    set({ plan: parsed.data, planAt: clock.now() })
    remember('plan', { plan: parsed.data, planAt: state.planAt })
    if (awaitingPlan) void beat()
  }

  /** Kept with the plan, so that a page that is loaded again has it; the plan itself is as old as it was. */
  function onNotice(message: unknown) {
    const { plan } = state
    const parsed = notice.safeParse(message)
    // Without a plan nobody is shown anything yet, and the plan brings it.
    if (!parsed.success || !plan || plan.notices.some(n => n.id === parsed.data.id)) return
    const notices = [...plan.notices, { ...parsed.data, read: false }].slice(-NOTICES)
    set({ plan: { ...plan, notices } })
    remember('plan', { plan: state.plan, planAt: state.planAt })
  }

  function onHeard(message: unknown) {
    const parsed = heard.safeParse(message)
    if (!parsed.success) return
    officeSaid(fromRfc3339(parsed.data.recordedAt))
    set({ clock: heardClock(parsed.data, clock.now()) })
    remember('heard', { lastHeard: state.lastHeard, clock: state.clock })
    if (heardFirst) wake()
  }

  function onClosed(message: unknown) {
    if (dayIsClosed.safeParse(message).data?.day === identity.day) set({ dayClosed: true })
  }

  // What was heard of the office's time was noted by the clock as it ran before it was set.
  deps.steady?.onSet(by => {
    const { clock: noted } = state
    set({ planAt: state.planAt + by, clock: noted && { ...noted, wall: noted.wall + by } })
    void outbox.look()
  })

  /** A practice day's time may run fast, and stands while its server does: it measures no clock. */
  function officeSaid(day: Instant) {
    if (state.plan?.kind === 'election') deps.steady?.heard(day)
  }

  function wake() {
    heardFirst = false
    outbox.wake()
  }

  socket.on('connect', () => {
    setLink('up')
    // The office says its time right after.
    heardFirst = deps.steady?.asksOffice() ?? false
    if (!heardFirst) outbox.wake()
    // The plan comes right after; the first beat waits for it, so that it speaks from what the office has.
    awaitingPlan = true
    cancelBeat?.()
    cancelBeat = clock.after(LINK.planWithin, () => {
      if (heardFirst) wake()
      void beat()
    })
  })
  socket.on('plan', onPlan as (...args: never[]) => void)
  socket.on('notice', onNotice as (...args: never[]) => void)
  socket.on('heard', onHeard as (...args: never[]) => void)
  socket.on('closed', onClosed as (...args: never[]) => void)
  socket.on('disconnect', () => {
    if (stopped || state.link === 'too-old') return
    setLink('down')
    // Ended by the server (revoked, or going down): the library doesn't come back by itself then.
    if (!socket.active) askAgain(LINK.askAgain)
  })
  socket.on('connect_error', ((error: Error & { data?: { reason?: string; retryAfter?: number } }) => {
    if (stopped) return
    if (error.data?.reason === 'key-refused') {
      setLink('key-lost')
      socket.disconnect()
      outbox.stop()
      return
    }
    setLink('down')
    if (!socket.active) askAgain(error.data?.retryAfter ?? LINK.askAgain)
  }) as (...args: never[]) => void)

  return {
    outbox,
    state: () => state,
    subscribe(listener) {
      listeners.add(listener)
      return () => listeners.delete(listener)
    },
    dayNow,
    async start() {
      const kept = await keep.read<KeptPlan>(`plan:${identity.device}`).catch(() => undefined)
      const times = await keep.read<KeptHeard>(`heard:${identity.device}`).catch(() => undefined)
      const plan = keptPlan(kept?.plan)
      set({
        ...(plan && !state.plan ? { plan, planAt: kept?.planAt ?? 0 } : {}),
        ...(times ? { lastHeard: times.lastHeard, clock: state.clock ?? times.clock } : {}),
      })
      await outbox.start(identity.upTo)
      if (!stopped) socket.connect()
    },
    stop() {
      stopped = true
      cancelBeat?.()
      cancelAsk?.()
      outbox.stop()
      socket.disconnect()
    },
  }
}

/** The period is day time; on a practice day that runs fast a device beats as much faster. Ms of wall time. */
function beatEvery(state: DeviceLinkState): number {
  const period = (state.plan?.heartbeatSeconds ?? 30) * 1_000
  return Math.max(LINK.fastestBeat, period / (state.clock?.speed ?? 1))
}
