import type { IncomingHttpHeaders } from 'node:http'
import { isIP } from 'node:net'
import type { Access, Device, Person } from '../access/access.ts'
import { readCookie, SESSION_COOKIE } from '../access/cookie.ts'
import type { Role } from '../protocol/roles.ts'

export type Caller = { device: Device } | { person: Person; by: 'cookie' | 'token' }
/** Who may use a route: anyone, or devices and people of the roles listed. */
export type Who = 'anyone' | ReadonlyArray<'device' | Role>

/**
 * Who is calling, by bearer key or token, else by the session's cookie; null: nobody we know. Where a bearer is
 * given the cookie doesn't count, so that a program is never taken for the person whose browser it runs in.
 */
export async function identify(
  access: Pick<Access, 'deviceOfKey' | 'personOfToken' | 'personOfSession'>,
  headers: IncomingHttpHeaders,
  looksFor: { device: boolean; person: boolean } = { device: true, person: true },
): Promise<Caller | null> {
  const { authorization } = headers
  if (authorization !== undefined) {
    const bearer = /^Bearer +([A-Za-z0-9_-]{20,200})$/i.exec(authorization)?.[1]
    if (bearer === undefined) return null
    const device = looksFor.device ? await access.deviceOfKey(bearer) : null
    if (device) return { device }
    const person = looksFor.person ? await access.personOfToken(bearer) : null
    return person && { person, by: 'token' }
  }
  const session = looksFor.person ? readCookie(headers.cookie, SESSION_COOKIE) : null
  const person = session && (await access.personOfSession(session))
  return person ? { person, by: 'cookie' } : null
}

/**
 * Whether a request comes from a page of ours (its Origin is the public address, or else has the host that was
 * asked). Without Origin: no. Checked on writes by cookie, on sign-in, and on the upgrade of a socket by cookie.
 */
export function originAllowed(headers: IncomingHttpHeaders, publicUrl: string | null): boolean {
  const { origin, host } = headers
  if (origin === undefined || !URL.canParse(origin)) return false
  const from = new URL(origin)
  if (publicUrl !== null && from.origin === publicUrl) return true
  return host !== undefined && from.host === host.toLowerCase()
}

/**
 * The caller's address. Of X-Forwarded-For only what our own `trustedProxies` have added is believed: counted
 * from the right, one step for each proxy. Anything that is not an address ends the walk.
 */
export function clientAddress(
  remote: string | undefined,
  forwarded: string | undefined,
  trustedProxies: number,
): string {
  let address = remote ?? 'unknown'
  const hops = forwarded?.split(',').map(hop => hop.trim()) ?? []
  for (let i = 0; i < trustedProxies; i++) {
    const hop = hops.pop()?.replace(/^\[(.*)\](:\d+)?$|^([\d.]+):\d+$/, '$1$3')
    if (hop === undefined || isIP(hop) === 0) break
    address = hop
  }
  return address
}

/**
 * Who opens a socket: by a person's token where one is sent, else by the cookie of a session, from a page of ours
 * alone. null: nobody we know.
 */
export async function personOfHandshake(
  access: Pick<Access, 'deviceOfKey' | 'personOfToken' | 'personOfSession'>,
  handshake: { auth: Record<string, unknown>; headers: IncomingHttpHeaders },
  publicUrl: string | null,
): Promise<Person | null> {
  const { token } = handshake.auth
  if (typeof token === 'string') return access.personOfToken(token)
  if (!originAllowed(handshake.headers, publicUrl)) return null
  const caller = await identify(access, handshake.headers, { device: false, person: true })
  return caller && 'person' in caller ? caller.person : null
}
