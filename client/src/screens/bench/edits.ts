/**
 * A source changed in one place: all else stays as it was, byte for byte, comments, order and quotes. What the form edits
 * is cut out of the text where it stands and replaced there; nothing is written anew from what was read. Pure.
 */
import { isMap, isNode, isSeq, parseDocument, stringify, type Document, type Node, type YAMLSeq } from 'yaml'

export type Path = readonly (string | number)[]

/** As the workshop reads it: every scalar is text. */
export const AS_TEXT = { schema: 'failsafe' } as const

/** A source as it reads; null while it is no YAML. */
export function readSource(text: string): Document | null {
  const document = parseDocument(text, AS_TEXT)
  return document.errors.length > 0 ? null : document
}

export const nodeAt = (document: Document, path: Path): Node | null => {
  const found = document.getIn(path, true)
  return isNode(found) ? found : null
}

/** The text at a path; null where there is none. */
export function wordsAt(document: Document, path: Path): string | null {
  const found = document.getIn(path)
  return typeof found === 'string' ? found : null
}

/** How many things a list holds; of anything else, none. */
export function lengthAt(document: Document, path: Path): number {
  const found = nodeAt(document, path)
  return isSeq(found) ? found.items.length : 0
}

/** The names of a mapping, in their order. */
export function namesAt(document: Document, path: Path): string[] {
  const found = nodeAt(document, path)
  return isMap(found) ? found.items.map(({ key }) => String(key)) : []
}

/** The line, from 1, that a path stands in. */
export function lineOf(text: string, document: Document, path: Path): number {
  return text.slice(0, nodeAt(document, path)?.range?.[0] ?? 0).split('\n').length
}

/** The text with other words at a path that has some; null where they cannot be put there. */
export function withWords(text: string, path: Path, words: string): string | null {
  const range = nodeAt(readSource(text)!, path)?.range
  if (!range) return null
  const plain = stringify(words.replace(/\s*\n\s*/g, ' '), { ...AS_TEXT, lineWidth: 0 }).trimEnd()
  // Among braces a comma or bracket ends the words: then they are put in quotes.
  for (const said of [plain, JSON.stringify(words)]) {
    const changed = text.slice(0, range[0]) + said + text.slice(range[1])
    const read = readSource(changed)
    if (read && wordsAt(read, path) === words.replace(/\s*\n\s*/g, ' ')) return changed
  }
  return null
}

/** Where each item of a block list begins and the last one ends: with the comments that stand above it. */
function stretches(text: string, list: YAMLSeq): number[] {
  const starts = list.items.map((item) => {
    let at = text.lastIndexOf('\n', (item as Node).range![0] - 1) + 1
    for (;;) {
      const above = text.lastIndexOf('\n', at - 2) + 1
      if (at === 0 || !/^\s+#/.test(text.slice(above, at))) return at
      at = above
    }
  })
  const last = (list.items.at(-1) as Node).range![0]
  const next = /\n(?=\S)/.exec(text.slice(last))
  return [...starts, next ? last + next.index + 1 : text.length]
}

/** The text with an item of a list put before (-1) or behind (1) its neighbour; null where it has none. */
export function withMoved(text: string, path: Path, item: number, by: -1 | 1): string | null {
  const list = nodeAt(readSource(text)!, path)
  const first = by < 0 ? item - 1 : item
  if (!isSeq(list) || list.flow || first < 0 || first + 1 >= list.items.length) return null
  const at = stretches(text, list)
  const [begin, middle, end] = [at[first]!, at[first + 1]!, at[first + 2]!]
  const [one, other] = [text.slice(begin, middle), text.slice(middle, end)].map(
    (part) => `${part.trimEnd()}\n`,
  )
  const gap = /\n\s*\n$/.test(text.slice(begin, middle)) ? '\n' : ''
  const tail = /\n\s*\n$/.test(text.slice(middle, end)) ? '\n' : ''
  const moved = `${text.slice(0, begin)}${other}${gap}${one}${tail}${text.slice(end)}`
  return withNumbersKept(moved, path, first)
}

/** Numbers stay in their places: what moves takes the number of where it comes to. */
function withNumbersKept(text: string, path: Path, first: number): string {
  const document = readSource(text)
  const paths = [first, first + 1].map((at) => [...path, at, 'number'])
  const [one, other] = paths.map((each) => document && wordsAt(document, each))
  if (!one || !other) return text
  return withWords(withWords(text, paths[0]!, other) ?? text, paths[1]!, one) ?? text
}
