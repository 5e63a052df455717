import { DEVICE_REPLACED } from '../../server/domain/log/aside.ts'
import type { Problem } from '../../server/protocol/device.ts'
import type { Words } from './words/catalogue.ts'

/** What the office or the report's own check found wrong, in words; a message that is not known stands as it came. */
export function problemWords(problem: Problem, { problems: W }: Words): string {
  if (problem.path === DEVICE_REPLACED) return W.replaced
  if (problem.message === 'number-reused' || problem.path === 'number') return W.reused
  const [field = ''] = problem.path.replace(/^body\./, '').split('.')
  const said = messageWords(problem.message, W)
  return isField(field, W) ? W.named(W.fields[field], said) : said
}

type Fields = Words['problems']['fields']
const isField = (name: string, { fields }: Words['problems']): name is keyof Fields & string =>
  Object.hasOwn(fields, name)

/** As parts/plainMessage.ts, in the page's language. */
function messageWords(message: string, W: Words['problems']): string {
  if (message.startsWith('this day is closed')) return W.dayClosed
  if (message.startsWith('this day does not run')) return W.dayStopped
  if (message === 'at least one count') return W.oneCount
  if (message.startsWith('longer than')) return W.tooLongToSend
  if (message === 'must be given') return W.missing
  if (/^at most \d+ characters/.test(message)) return W.tooLong
  if (/^(one of|must be given: one of|must be) /.test(message)) return W.choose
  if (/^a (whole )?number/.test(message)) return W.wholeNumber
  if (message.startsWith('none of the forms')) return W.noFit
  const bound = /^(at least|at most|more than|less than) (-?\d+)(?:, not \d+)?$/.exec(message)
  if (!bound) return message
  const limit = Number(bound[2])
  if (bound[1] === 'at least') return W.atLeast(limit)
  if (bound[1] === 'at most') return W.atMost(limit)
  return bound[1] === 'more than' ? W.moreThan(limit) : W.lessThan(limit)
}
