import { SaxesParser } from 'saxes'
import { limits, megabytes } from './limits.ts'

/** One element under the root, whole. */
export type Element = { name: string; id: string; language: string; text: string; children: Element[] }

/** Counts what is kept of a whole feed, over all its files. */
export type Kept = { characters: number }

export type ElementReader = {
  /** Takes the next piece of text. Returns why the feed is refused, or null to go on. */
  write(text: string): string | null
  /** No more text comes. */
  end(): string | null
  /** `line 7, column 3`, for troubles that lie outside the text. */
  place(): string
}

/**
 * Reads XML piece by piece and hands over each element under `VipObject` whose name is wanted, in the order of
 * the file. Holds one such element at a time; everything else is passed over. A refusal is a value, says line
 * and column, and ends the reading: nothing is handed over after it.
 */
export function readElements(given: {
  wanted: ReadonlySet<string>
  kept: Kept
  onRoot: (version: string) => string | null
  onElement: (element: Element) => string | null
}): ElementReader {
  const { wanted, kept } = given
  const parser = new SaxesParser({ xmlns: false })
  let refusal: string | null = null
  let depth = 0
  let sawRoot = false
  /** Elements that are open within a wanted one, outermost first. */
  const open: Element[] = []
  let within = 0
  /** Where the last mark ended: what grows beyond it without another is one text, tag or comment. */
  let lastMark = 0

  const place = () => `line ${parser.line}, column ${parser.column}`
  const refuse = (why: string) => {
    refusal ??= `${place()}: ${why}`
  }
  const keep = (characters: number) => {
    kept.characters += characters
    if (kept.characters > limits.kept)
      refuse(
        `more than ${megabytes(limits.kept)} of precincts, places and hours: no feed of a county is so large`,
      )
  }
  const mark = () => {
    lastMark = parser.position
  }
  const addText = (text: string) => {
    mark()
    const element = open.at(-1)
    if (refusal !== null || !element) return
    if (element.text.length + text.length > limits.text) return refuse(tooLong)
    keep(text.length)
    element.text += text
  }

  parser.on('error', error => refuse(wordsOf(error.message)))
  parser.on('doctype', () => {
    mark()
    refuse('a DOCTYPE: feeds have none, and what it could define is never read')
  })
  parser.on('xmldecl', ({ encoding }) => {
    mark()
    if (encoding !== undefined && !/^(utf-?8|us-ascii|ascii)$/i.test(encoding))
      refuse(`the file says that it is in ${encoding.slice(0, 40)}: save it in UTF-8`)
  })
  parser.on('processinginstruction', mark)
  parser.on('comment', mark)
  parser.on('text', addText)
  parser.on('cdata', addText)
  parser.on('opentag', tag => {
    mark()
    if (refusal !== null) return
    depth++
    if (depth > limits.depth) return refuse(`elements within elements, more than ${limits.depth} deep`)
    if (depth === 1) {
      sawRoot = true
      if (tag.name !== 'VipObject')
        return refuse(
          `the root is ${tag.name.slice(0, 60)}, not VipObject: this is no feed of the specification 5.x or 6`,
        )
      const why = given.onRoot(tag.attributes.schemaVersion ?? '')
      if (why !== null) refuse(why)
      return
    }
    if (open.length === 0 && (depth !== 2 || !wanted.has(tag.name))) return
    const { id = '', language = '' } = tag.attributes
    const element: Element = { name: tag.name, id, language, text: '', children: [] }
    // Empty elements take room too.
    within = open.length === 0 ? 0 : within + 1
    if (within > limits.within)
      return refuse(`more than ${limits.within.toLocaleString('en-US')} elements within one ${open[0]!.name}`)
    keep(id.length + language.length + (open.length === 0 ? limits.keptElement : 0))
    open.at(-1)?.children.push(element)
    open.push(element)
  })
  parser.on('closetag', () => {
    mark()
    if (refusal !== null) return
    depth--
    const element = open.pop()
    if (!element || open.length > 0) return
    const why = given.onElement(element)
    if (why !== null) refuse(why)
  })

  return {
    write(text) {
      if (refusal === null) parser.write(text)
      if (refusal === null && parser.position - lastMark > limits.text) refuse(tooLong)
      return refusal
    },
    end() {
      if (refusal === null) parser.close()
      if (refusal === null && !sawRoot) refuse('the file is empty')
      return refusal
    },
    place,
  }
}

const tooLong = `a text, tag or comment of more than ${megabytes(limits.text)}`

/** What the parser says, in words for people. It names line and column itself; those are taken off. */
function wordsOf(message: string): string {
  const plain = message.replace(/^(?:.*?:)?\d+:\d+:\s*/, '').slice(0, 200)
  if (/undefined entity/.test(plain))
    return 'an entity that is none of &amp; &lt; &gt; &quot; &apos;: others are never read'
  return `not well-formed XML: ${plain}`
}
