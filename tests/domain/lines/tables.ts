import { readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'

/** Rows of a table of tests/reference as numbers by column (texts stay); its first line names its source. */
export function table(name: string): Array<Record<string, number> & { case: string }> {
  const text = readFileSync(fileURLToPath(new URL(`../../reference/${name}`, import.meta.url)), 'utf8')
  const [, header, ...rows] = text.trim().split('\n')
  const columns = header!.split(',')
  return rows.map(row => {
    const cells = row.match(/("[^"]*"|[^,]*)(,|$)/g)!.map(cell => cell.replace(/,$/, '').replaceAll('"', ''))
    return Object.fromEntries(columns.map((c, i) => [c, c === 'case' ? cells[i] : Number(cells[i])])) as never
  })
}
