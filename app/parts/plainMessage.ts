/** What a schema or the office found wrong, in words for the person who typed it; other messages stand as they came. */
export function plainMessage(message: string): string {
  if (message === 'at least one count') return 'Give at least one count.'
  if (message.startsWith('longer than')) return 'This is too long to send. Shorten your words.'
  if (/expected string to have >=1/.test(message)) return 'Type something here.'
  if (/expected string to have <=/.test(message)) return 'Too long. Shorten it.'
  if (/expected (array|record|object)\b.* >=/.test(message)) return 'Give at least one.'
  if (/expected (array|record|object)\b.* <=/.test(message)) return 'Too many. Leave some out.'
  const bound = /expected (?:number|int) to be (<=?|>=?)(-?\d+)/.exec(message)
  if (bound) {
    const [, sign, limit] = bound
    const most = sign!.startsWith('<')
    const inside = Number(limit) + (sign!.endsWith('=') ? 0 : most ? -1 : 1)
    return `${most ? 'At most' : 'At least'} ${inside.toLocaleString('en-US')}.`
  }
  if (/expected (number|int)/i.test(message)) return 'Type a whole number.'
  if (message.startsWith('Invalid option')) return 'Choose one of the answers offered.'
  if (message.startsWith('Invalid input')) return 'This does not fit here.'
  return message
}
