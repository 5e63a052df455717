/**
 * A 53-bit fingerprint of what a device sent under one number. It tells a resend (same number, same content:
 * acknowledged again) from another content under the same number (a cloned or restored device: `number-reused`).
 * Not cryptographic and no protection against a forger, who would need the device's key anyway; that two
 * different contents of one number agree by accident has a chance of 1 in 9 · 10^15.
 *
 * Equal JSON values have equal fingerprints, whatever the order of their keys.
 */
export function fingerprint(at: string, kind: string, body: unknown): bigint {
  return fingerprintOf(canonicalReport(at, kind, body))
}

/** One text for equal reports: about as long as the report is as JSON. */
export function canonicalReport(at: string, kind: string, body: unknown): string {
  return `${at}\n${kind}\n${canonical(body)}`
}

/** The fingerprint of a text of `canonicalReport`. */
export function fingerprintOf(text: string): bigint {
  // Two multiplicative 32-bit lanes (the FNV idea, with other odd multipliers), mixed at the end.
  let a = 0x811c9dc5 | 0
  let b = 0x41c6ce57 | 0
  for (let i = 0; i < text.length; i++) {
    const c = text.charCodeAt(i)
    a = Math.imul(a ^ c, 0x01000193)
    b = Math.imul(b ^ c, 0x5f356495)
    b ^= b >>> 15
  }
  a = mix(a ^ (b >>> 13))
  b = mix(b ^ (a >>> 11))
  return BigInt((a >>> 11) * 0x1_0000_0000 + (b >>> 0))
}

function mix(lane: number): number {
  const once = Math.imul(lane ^ (lane >>> 16), 0x7feb352d)
  const twice = Math.imul(once ^ (once >>> 15), 0x846ca68b | 0)
  return twice ^ (twice >>> 16)
}

/** JSON with the keys of every object in order; keys without a value are left out, as JSON does. */
function canonical(value: unknown): string {
  if (typeof value !== 'object' || value === null) return JSON.stringify(value) ?? 'null'
  if (Array.isArray(value)) return `[${value.map(canonical).join(',')}]`
  const record = value as Record<string, unknown>
  let text = '{'
  for (const key of Object.keys(record).sort()) {
    if (record[key] === undefined) continue
    text += `${text === '{' ? '' : ','}${JSON.stringify(key)}:${canonical(record[key])}`
  }
  return `${text}}`
}
