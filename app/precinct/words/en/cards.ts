/** The quick reference: how it is found and read. Its cards are in voterCards and roomCards. */

export const cards = {
  guide: 'Guide',
  lead: 'Short answers for your day. They work without a network.',
  search: 'Search the guide',
  searchHelp: 'One word will do, such as line or power.',
  found: (n: number) => `${n} ${n === 1 ? 'card' : 'cards'}`,
  none: (asked: string) => `Nothing found for “${asked}”.`,
  noneHelp: 'Try a shorter word, or call the office.',
  unknown: 'This card is not in the guide.',
  todo: 'Do',
  never: 'Never',
  all: 'All cards',
  phones: 'Phone numbers',
  office: '{Office}',
  ofCounty: 'From your county',
  decides: 'Your county’s guide decides.',
}

export const calls = {
  stepOut: 'Step out of the voting room before you call.',
}
