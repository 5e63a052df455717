/** A file larger than this is not read: Ellery's largest, with 64 precincts, has 17 KB; of 5,000 about 1.5 MB. */
export const FILE_BYTES = 16 * 1024 * 1024
/** plan.json holds settings only. */
export const JSON_BYTES = 1024 * 1024

/** Why a file's bytes are no text that can be used; `found` is a piece of it, '' where there is nothing to show. */
export type Unreadable = { line: number | null; found: string; message: string }

const REMEDY = 'export it again as “CSV UTF-8”'

const startsWith = (bytes: Uint8Array, ...start: number[]) => start.every((byte, i) => bytes[i] === byte)

/** Share of NULs from which text counts as two-byte text: plain English in UTF-16 is half NULs. */
const TWO_BYTE_SHARE = 0.2
const LOOKED_AT = 4_096

function nulShare(bytes: Uint8Array): number {
  const start = bytes.subarray(0, LOOKED_AT)
  let nuls = 0
  for (const byte of start) if (byte === 0) nuls++
  return start.length === 0 ? 0 : nuls / start.length
}

/**
 * The text of a plan file: UTF-8, with or without a byte order mark (which is taken off). What spreadsheets and
 * old exporters write instead is named, with what to do about it.
 */
export function textOfBytes(bytes: Uint8Array, most = FILE_BYTES): { text: string } | Unreadable {
  const no = (message: string, found = '', line: number | null = null) => ({ line, found, message })
  if (bytes.length > most) return no(`at most ${most / 1024 / 1024} MB; no plan needs a file so large`)
  if (startsWith(bytes, 0x50, 0x4b, 0x03, 0x04))
    return no(
      'text: this is a spreadsheet file or a zip archive, whatever its name; save each sheet as “CSV UTF-8”',
    )
  if (startsWith(bytes, 0xd0, 0xcf, 0x11, 0xe0))
    return no('text: this is an old spreadsheet file, whatever its name; save each sheet as “CSV UTF-8”')
  if (startsWith(bytes, 0xff, 0xfe) || startsWith(bytes, 0xfe, 0xff) || nulShare(bytes) > TWO_BYTE_SHARE)
    return no(`text in UTF-8: this is UTF-16 (“Unicode text”); ${REMEDY}`)
  try {
    const text = new TextDecoder('utf-8', { fatal: true }).decode(bytes)
    const nul = text.indexOf('\0')
    if (nul < 0) return { text }
    return no('text without NUL bytes: this is no text file, or it is damaged', '', lineAt(text, nul))
  } catch {
    return notUtf8(bytes)
  }
}

/** What Windows-1252 has for 0x80 to 0x9F (WHATWG Encoding Standard; Node's own decoder reads them as Latin-1). */
const C1 = '€\u0081‚ƒ„…†‡ˆ‰Š‹Œ\u008DŽ\u008F\u0090‘’“”•–—˜™š›œ\u009DžŸ'

function ansi(bytes: Uint8Array): string {
  return Array.from(bytes, b => (b >= 0x80 && b <= 0x9f ? C1[b - 0x80] : String.fromCharCode(b))).join('')
}

/** Where the first byte stands that is no UTF-8, and how the word reads if the file is Windows-1252. */
function notUtf8(bytes: Uint8Array): Unreadable {
  // What begins well goes on well up to the first bad byte, so halving finds it.
  let good = 0
  let bad = bytes.length
  while (bad - good > 1) {
    const middle = (good + bad) >> 1
    if (isUtf8Start(bytes.subarray(0, middle))) good = middle
    else bad = middle
  }
  const before = /[^\s,;"]*$/.exec(ansi(bytes.subarray(Math.max(0, good - 40), good)))?.[0] ?? ''
  const after = /^[^\s,;"]*/.exec(ansi(bytes.subarray(good, good + 40)))?.[0] ?? ''
  const line = lineAt(new TextDecoder().decode(bytes.subarray(0, good)), good)
  const message = `text in UTF-8: this looks like Windows-1252 (“ANSI”); ${REMEDY}`
  return { line, found: before + after, message }
}

/** Whether bytes are UTF-8 so far; the last sign may be cut. */
function isUtf8Start(bytes: Uint8Array): boolean {
  try {
    new TextDecoder('utf-8', { fatal: true }).decode(bytes, { stream: true })
    return true
  } catch {
    return false
  }
}

function lineAt(text: string, at: number): number {
  return text.slice(0, at).split(/\r\n?|\n/).length
}
