import { sealNumber } from '../../../server/domain/log/fields.ts'
import { asText, type Done, type Flow } from '../asking/question.ts'
import { gapsWith } from '../custodyHere.ts'
import { containerWords } from '../names.ts'

/**
 * A seal is taken off a container, or a new one put on: its number, read from the seal. One that isn't expected is
 * asked once more, without showing what is; then it is recorded as it stands.
 */
const worked =
  (act: 'removed' | 'applied', container: string): Flow =>
  (answers, { plan, page, words: w }) => {
    const what = containerWords(container, w)
    const [ask, help] =
      act === 'removed' ? [w.sealing.off(what), w.sealing.offHelp] : [w.sealing.on(what), w.sealing.onHelp]
    const differs = (number: string) =>
      gapsWith(plan, page.sealWork, { container, act, number, state: 'intact' }).includes('different')
    const first = asText(answers.found)
    if (first === undefined)
      return { ask: { id: 'found', kind: 'text', ask, help, schema: sealNumber, fills: 'found' } }
    if (differs(first) && answers.again === undefined)
      return {
        ask: {
          id: 'again',
          kind: 'text',
          ask: w.sealing.again(first),
          help: w.sealing.onHelp,
          schema: sealNumber,
          fills: 'found',
        },
      }
    const found = asText(answers.again) ?? first
    const fine: Done =
      act === 'removed'
        ? {
            title: w.sealing.offDone,
            lines: [w.sealing.offNext],
            to: [{ label: w.sealing.toOn, screen: `flow/seal-on/${encodeURIComponent(container)}` }],
          }
        : { title: w.sealing.onDone }
    return {
      say: [{ kind: 'SealRecorded', body: { container, found, state: 'intact', act } }],
      done: differs(found)
        ? { title: w.sealing.differs(what), lines: [w.sealing.differsHelp], stop: true, phone: true }
        : fine,
    }
  }

export const sealOff = (container: string): Flow => worked('removed', container)
export const sealOn = (container: string): Flow => worked('applied', container)
