import { randomBytes } from 'node:crypto'
import type { IncomingMessage, ServerResponse } from 'node:http'

export type HeaderSettings = {
  /** People come by https: by our certificate, or by a proxy whose public address says so. */
  secure: boolean
  publicUrl: string | null
}

/**
 * Security headers on every answer. The policy is put on the request too, where Next finds the nonce and stamps
 * its inline scripts with it; whatever a caller sent under these names is overwritten. Styles may be inline
 * because the charts set style attributes.
 */
export function secureHeaders(
  request: IncomingMessage,
  response: ServerResponse,
  settings: HeaderSettings,
): void {
  const nonce = randomBytes(16).toString('base64')
  const policy = contentPolicy(nonce, socketHosts(request.headers.host, settings))
  request.headers['content-security-policy'] = policy
  request.headers['x-nonce'] = nonce
  response.setHeader('Content-Security-Policy', policy)
  response.setHeader('X-Content-Type-Options', 'nosniff')
  // Not no-referrer: forms of our own would then be sent with `Origin: null`.
  response.setHeader('Referrer-Policy', 'same-origin')
  response.setHeader(
    'Permissions-Policy',
    'camera=(), microphone=(), payment=(), usb=(), serial=(), geolocation=(self)',
  )
  response.setHeader('Cross-Origin-Opener-Policy', 'same-origin')
  response.setHeader('Cross-Origin-Resource-Policy', 'same-origin')
  response.setHeader('X-Frame-Options', 'DENY')
  if (settings.secure) response.setHeader('Strict-Transport-Security', 'max-age=31536000')
}

function contentPolicy(nonce: string, sockets: string): string {
  return [
    "default-src 'self'",
    `script-src 'self' 'nonce-${nonce}' 'strict-dynamic'`,
    "style-src 'self' 'unsafe-inline'",
    "img-src 'self' data: blob:",
    "font-src 'self'",
    `connect-src 'self'${sockets}`,
    "worker-src 'self'",
    "manifest-src 'self'",
    "object-src 'none'",
    "base-uri 'none'",
    "form-action 'self'",
    "frame-ancestors 'none'",
  ].join('; ')
}

/** Older browsers don't count ws: under 'self', so the own host is named; a Host that looks odd is left out. */
function socketHosts(host: string | undefined, { secure, publicUrl }: HeaderSettings): string {
  const own = publicUrl === null ? host : new URL(publicUrl).host
  if (own === undefined || !/^[A-Za-z0-9.-]+(:\d{1,5})?$|^\[[0-9a-fA-F:]+\](:\d{1,5})?$/.test(own)) return ''
  return secure ? ` wss://${own}` : ` ws://${own} wss://${own}`
}
