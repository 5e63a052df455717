import type {
  Answer,
  Answers,
  Around,
  Done,
  Flow,
  Question,
  ToSay,
} from '../../../app/precinct/asking/question.ts'

export type Talked = { asked: string[]; open?: Question; say?: ToSay[]; done?: Done }

/** Answers in the order of asking; gives what is said, or the question that is open. */
export function talkThrough(flow: Flow, given: Record<string, Answer>, here: Around): Talked {
  let answers: Answers = {}
  const asked: string[] = []
  for (let i = 0; i < 40; i++) {
    const step = flow(answers, here)
    if ('say' in step) return { asked, ...step }
    asked.push(step.ask.id)
    if (!(step.ask.id in given)) return { asked, open: step.ask }
    answers = { ...answers, [step.ask.id]: given[step.ask.id] }
  }
  throw new Error('the conversation has no end')
}
