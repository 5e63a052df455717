import type {
  DevicePlan,
  Heard,
  HeartbeatAnswer,
  HeartbeatRequest,
  Notice,
  ReportAnswer,
  ReportRequest,
} from '../../protocol/device.ts'

/** A device's way to the office: `socketLink.ts`, or `httpLink.ts` for a program without a socket. */
export type DeviceLink = {
  isUp(): boolean
  /** Null: no answer (the link broke, it took too long, or it was not understood). Never rejects. */
  report(request: ReportRequest): Promise<ReportAnswer | null>
  heartbeat(request: HeartbeatRequest): Promise<HeartbeatAnswer | null>
  /** For good; none of the events comes after it. */
  close(): void
}

/** What a link tells of. After `keyRefused` it does nothing more. */
type LinkEvents = {
  up?(): void
  down?(): void
  keyRefused?(): void
  /** The day's time and its speed. */
  heard?(heard: Heard): void
  plan?(plan: DevicePlan): void
  notice?(notice: Notice): void
  /** The day takes no more. */
  closed?(): void
}

export type LinkSetting = {
  /** The office's address, without a path. */
  url: string
  key: string
  on: LinkEvents
  /** The office is this very machine's: its certificate may be for another name. */
  anyCertificate?: boolean
}

/** An answer that takes longer is none. */
export const ANSWER_MS = 10_000
