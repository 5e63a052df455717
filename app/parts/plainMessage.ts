/** What a schema or the office found wrong (issueWords), as a sentence for the person who typed it. */
export function plainMessage(message: string): string {
  if (message === 'at least one count') return 'Give at least one count.'
  if (message.startsWith('longer than')) return 'This is too long to send. Shorten your words.'
  if (message === 'must be given') return 'Type something here.'
  if (/^at most \d+ characters/.test(message)) return 'Too long. Shorten it.'
  if (/^(one of|must be given: one of|must be) /.test(message)) return 'Choose one of the answers offered.'
  if (/^a (whole )?number/.test(message)) return 'Type a whole number.'
  if (message.startsWith('none of the forms')) return 'This does not fit here.'
  const bound = /^(at least|at most|more than|less than) (-?\d+)(?:, not \d+)?$/.exec(message)
  if (!bound) return message
  const [, words, limit] = bound
  return `${words![0]!.toUpperCase()}${words!.slice(1)} ${Number(limit).toLocaleString('en-US')}.`
}
