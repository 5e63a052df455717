import type { Access, Device } from '../access/access.ts'
import { problemsOf, readAs } from '../domain/log/check.ts'
import type { Log } from '../log.ts'
import { type EnrolAnswer, enrolRequest } from '../protocol/device.ts'
import { refuse } from './answer.ts'
import type { Route } from './routes.ts'

/**
 * A code for a key. 200 with the key, shown once; 400: not readable; 403: wrong, used, of a closed day, or not for
 * this tablet beside what it serves;
 * the problem's path is `code.` and the stable reason;
 * 429 with Retry-After: too many wrong codes from this address or from all. `enrolled` notes it in the day's log.
 */
export function enrolRoute(
  access: Pick<Access, 'enrol'>,
  enrolled: (device: Device, replaced: string | null) => Promise<void>,
  log: Pick<Log, 'error'>,
): Route {
  return {
    method: 'POST',
    pattern: '/api/v1/enrol',
    who: 'anyone',
    body: 2_048,
    async handle({ body, address }) {
      const parsed = readAs(enrolRequest, body)
      if (!parsed.success) return { status: 400, json: { ok: false, problems: problemsOf(parsed.error) } }
      const { code, label = '', beside } = parsed.data
      const outcome = await access.enrol(code, label, address, beside)
      if (!outcome.ok && outcome.reason === 'too-many')
        return refuse(429, outcome.message, { retryAfter: outcome.retryAfter })
      if (!outcome.ok) return refuse(403, outcome.message, { path: `code.${outcome.reason}` })
      const { device, key, replaced } = outcome
      // The code is used up: whoever typed it must get the key, even where the log can't take the note now.
      await enrolled(device, replaced).catch(error =>
        log.error({ err: error, device: device.id }, 'enrolment not noted'),
      )
      const answer: EnrolAnswer = {
        ok: true,
        device: device.id,
        key,
        day: device.day,
        precinct: device.precinct,
        upTo: 0,
      }
      return { status: 200, json: answer }
    },
  }
}
