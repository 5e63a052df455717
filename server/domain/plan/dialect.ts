/** How a spreadsheet wrote a table: what divides its cells. */
export type Delimiter = ',' | ';' | '\t'
const delimiters: readonly Delimiter[] = [',', ';', '\t']

/** A first line by which spreadsheets tell each other what divides the cells: `sep=;`. */
const TOLD = /^"?sep=([,;\t])"?[,;\t]*(?=\n|$)/i
/** No header is longer; a longer first line is looked at up to here. */
const HEADER = 10_000

/**
 * What divides the cells of a text (line ends LF): what its `sep=` line says, else what makes the most of its
 * first line's cells known columns, else the most cells; a comma where nothing speaks for another.
 * @returns the text with a `sep=` line made empty, so that lines keep their numbers
 */
export function dialectOf(text: string, columns: readonly string[]): { delimiter: Delimiter; text: string } {
  const told = TOLD.exec(text)
  if (told) return { delimiter: told[1] as Delimiter, text: text.slice(told[0].length) }
  const header = /^\s*([^\n]*)/.exec(text.slice(0, HEADER))?.[1] ?? ''
  let delimiter: Delimiter = ','
  let best = -1
  for (const one of delimiters) {
    const names = header.split(one).map(name => name.replace(/^[\s"]+|[\s"]+$/g, ''))
    const score = names.filter(name => columns.includes(name)).length * HEADER + names.length
    if (score > best) {
      best = score
      delimiter = one
    }
  }
  return { delimiter, text }
}
