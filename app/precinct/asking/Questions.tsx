'use client'
import { AskMany, AskOne } from './AskChoice.tsx'
import { AskNumber } from './AskNumber.tsx'
import { AskText } from './AskText.tsx'
import { AskTwo } from './AskTwo.tsx'
import type { Asked } from './asked.tsx'
import type { Question } from './question.ts'

/** One question with its way to answer it. A new question is a new component (key), so nothing lingers. */
export function AskedQuestion(props: Asked<Question>) {
  const { question } = props
  switch (question.kind) {
    case 'number':
      return <AskNumber {...props} question={question} />
    case 'text':
      return <AskText {...props} question={question} />
    case 'one':
      return <AskOne {...props} question={question} />
    case 'many':
      return <AskMany {...props} question={question} />
    case 'two':
      return <AskTwo {...props} question={question} />
  }
}
