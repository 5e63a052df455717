import { readAs } from '../../domain/log/check.ts'
import { type EnrolAnswer, enrolAnswer } from '../../protocol/device.ts'
import { makeDeviceFile } from './deviceFile.ts'
import { codeOf } from './fileLock.ts'

/** Milliseconds until an answer that doesn't come is none. */
const ANSWER_MS = 15_000

/**
 * `sunup device enrol`: a code becomes a key, kept in a new file. 0: done; 1: it can't be, and why.
 * @throws FileTrouble where the file is there already or can't be written; the code is not spent then
 */
export async function enrol(
  { url, code, file, label }: { url: string; code: string; file: string; label: string },
  { out, complain }: { out(line: string): void; complain(line: string): void },
): Promise<number> {
  const made = makeDeviceFile(file)
  const asked = await ask(url, code, label)
  if ('why' in asked) {
    made.drop()
    complain(asked.why)
    return 1
  }
  const { key, device, day, precinct, upTo } = asked
  made.keep({ sunup: 'device', form: 1, url, key, device, day, precinct, upTo })
  out(`${file} speaks for ${precinct} of ${day} from now on. It holds the key: keep it to yourself.`)
  return 0
}

async function ask(
  url: string,
  code: string,
  label: string,
): Promise<(EnrolAnswer & { ok: true }) | { why: string }> {
  let status: number
  let answer: unknown
  try {
    const response = await fetch(`${url}/api/v1/enrol`, {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify({ code, label }),
      signal: AbortSignal.timeout(ANSWER_MS),
    })
    status = response.status
    answer = await response.json().catch(() => null)
  } catch (error) {
    return { why: unreached(url, error) }
  }
  const parsed = readAs(enrolAnswer, answer)
  if (!parsed.success)
    return {
      why: `What answers at ${url} (${status}) is not Sunup: give the address of the office, without a path.`,
    }
  if (parsed.data.ok) return parsed.data
  const why = parsed.data.problems.map(p => p.message).join('; ')
  if (parsed.data.retryAfter !== undefined)
    return {
      why: `${why} Try again in ${Math.ceil(parsed.data.retryAfter / 1_000)} seconds; the code is still good.`,
    }
  return {
    why: `--code: ${why} A code is good once, until its day closes: sunup codes DAY prints fresh ones.`,
  }
}

function unreached(url: string, error: unknown): string {
  const { name, cause } = error as Error
  if (name === 'TimeoutError')
    return `${url} did not answer in ${ANSWER_MS / 1_000} seconds. Try once more; where the code is said to be used then, ask for a fresh one.`
  const code = codeOf(cause ?? error)
  const isCertificate = /CERT|SELF_SIGNED|VERIFY|ALTNAME/.test(code)
  return isCertificate
    ? `The certificate of ${url} is not trusted here (${code}): name the county's own authority in NODE_EXTRA_CA_CERTS.`
    : `${url} can't be reached (${code}): is the server running, and is this its address? The code is still good.`
}
