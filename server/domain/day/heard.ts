import type { Entry } from '../log/entry.ts'
import type { Instant } from '../time.ts'
import { copyOfDevice } from './copies.ts'
import { latest } from './stamp.ts'
import { type DeviceState, LIMITS, type PrecinctState } from './state.ts'

/**
 * Whether an entry is the precinct's own voice: its device, or somebody there by telephone or on paper. That the desk
 * accepts what was kept aside is no word from there.
 */
export function heardFrom(entry: Entry): boolean {
  const { via, acceptedBy } = entry.origin
  if (acceptedBy !== undefined) return false
  return via === 'device' || via === 'caller' || via === 'paper'
}

const DEVICE = 'device:'

/** The device that said it over its own link, and so knows of it; null: another wrote it, or it was kept aside. */
export function deviceThatSaid({ origin, source }: Pick<Entry, 'origin' | 'source'>): string | null {
  const itself = origin.via === 'device' && origin.acceptedBy === undefined && source.startsWith(DEVICE)
  return itself ? source.slice(DEVICE.length) : null
}

/** The precinct was heard when the office recorded it, not when it happened; so was the device that spoke. */
export function hearing(p: PrecinctState, entry: Entry) {
  p.heardAt = latest(p.heardAt, entry.recordedAt)
  const id = deviceThatSaid(entry)
  if (id === null) return
  const known = p.devices.find(d => d.id === id)
  const device = known ? copyOfDevice(known) : unheard(id, entry.recordedAt)
  device.heardAt = latest(device.heardAt, entry.recordedAt)
  if (entry.position > device.toldAt) {
    device.toldAt = entry.position
    device.skewSeconds = entry.origin.skewSeconds ?? 0
    if (entry.kind === 'HeartbeatReceived' && entry.body.device) {
      const { battery, charging, waiting } = entry.body.device
      if (battery !== undefined) device.battery = battery
      if (charging !== undefined) device.charging = charging
      if (waiting !== undefined) device.waiting = waiting
    }
  }
  withDevice(p, device)
}

export function unheard(id: string, at: Instant): DeviceState {
  return {
    id,
    heardAt: at,
    battery: null,
    charging: null,
    waiting: 0,
    skewSeconds: 0,
    revoked: false,
    toldAt: 0,
  }
}

/** Puts a device in its place and chooses the one to show: heard last of those that aren't revoked. */
export function withDevice(p: PrecinctState, device: DeviceState) {
  if (p.devices.length === 1 && p.devices[0]!.id === device.id) p.devices = [device]
  else {
    const devices = p.devices.filter(d => d.id !== device.id)
    devices.push(device)
    devices.sort(lastHeardFirst)
    if (devices.length > LIMITS.devices) devices.length = LIMITS.devices
    p.devices = devices
  }
  const first = p.devices[0]!
  p.device = first.revoked ? null : first
}

function lastHeardFirst(a: DeviceState, b: DeviceState): number {
  if (a.revoked !== b.revoked) return a.revoked ? 1 : -1
  return b.heardAt - a.heardAt || (a.id < b.id ? -1 : 1)
}
