/**
 * A source with something added to it or taken out of it, where it stands: all else stays as it was, byte for byte. What
 * comes of it is read again and compared with what was meant; where that differs nothing is changed. Pure.
 */
import {
  Document,
  isCollection,
  isMap,
  isPair,
  isScalar,
  isSeq,
  visit,
  type Node,
  type Pair,
  type YAMLMap,
  type YAMLSeq,
} from 'yaml'
import { AS_TEXT, nodeAt, readSource, withWords, type Path } from './edits'

export type Value = string | readonly Value[] | { readonly [name: string]: Value }

/** Flow, as people write what is short: `{sign: warning, says: Hot}`. */
const SHORT = 100

/** The text with a value at a path, which is made as far as it is not there; null where it cannot be. */
export function withValue(text: string, path: Path, value: Value): string | null {
  const document = readSource(text)
  if (!document || path.length === 0) return null
  if (typeof value === 'string' && isScalar(nodeAt(document, path))) return withWords(text, path, value)
  const there = nodeAt(document, path)
  if (there) {
    const bare = without(text, path)
    return bare && withValue(bare, path, value)
  }
  const inside = nodeAt(document, path.slice(0, -1))
  const [last] = path.slice(-1)
  if (!isCollection(inside)) {
    return withValue(text, path.slice(0, -1), typeof last === 'number' ? [value] : { [last!]: value })
  }
  if (isSeq(inside) && typeof last !== 'number') return null
  const meant = document.clone()
  meant.setIn(path, meant.createNode(value))
  return asMeant(added(text, inside as Inside, last!, value), meant)
}

/** A value for a place; null takes out what is there. */
export type Change = readonly [Path, Value | null]
export type Put = (...changes: readonly Change[]) => void

/** The text after several changes, one after the other. */
export function withAll(text: string, changes: readonly Change[]): string | null {
  let changed: string | null = text
  for (const [path, value] of changes) {
    if (changed === null) return null
    changed = value === null ? takenOut(changed, path) : withValue(changed, path, value)
  }
  return changed
}

const takenOut = (text: string, path: Path) => (readSource(text)?.hasIn(path) ? without(text, path) : text)

type Inside = YAMLMap<Node, Node | null> | YAMLSeq<Node>

function added(text: string, inside: Inside, name: string | number, value: Value): string {
  const item = isMap(inside) ? { [name]: value } : [value]
  if (inside.flow) {
    const close = inside.range![1] - 1
    const said = written(item, true).slice(1, -1)
    return `${text.slice(0, close)}${inside.items.length > 0 ? ', ' : ''}${said}${text.slice(close)}`
  }
  const at = lineEnd(text, endOf(inside.items.at(-1)!))
  const gap = at > 0 && text[at - 1] !== '\n' ? '\n' : ''
  return text.slice(0, at) + gap + indented(written(item, false), columnOf(text, inside)) + text.slice(at)
}

const columnOf = (text: string, { range }: Inside | YAMLSeq) => range![0] - lineBegin(text, range![0])

const indented = (lines: string, column: number) =>
  lines
    .split('\n')
    .map((line) => `${line ? ' '.repeat(column) + line : line}\n`)
    .join('')

/** The text with a value put into a list before the item that stands at a place now, or behind all. */
export function withInserted(text: string, list: Path, at: number, value: Value): string | null {
  const document = readSource(text)
  const inside = document && nodeAt(document, list)
  if (!document || !isSeq(inside) || at >= inside.items.length) return withValue(text, [...list, at], value)
  const meant = document.clone()
  ;(nodeAt(meant, list) as YAMLSeq).items.splice(at, 0, meant.createNode(value))
  const next = (inside as YAMLSeq<Node>).items[at]!.range![0]
  if (inside.flow)
    return asMeant(`${text.slice(0, next)}${written([value], true).slice(1, -1)}, ${text.slice(next)}`, meant)
  const line = aboveComments(text, lineBegin(text, next))
  return asMeant(
    text.slice(0, line) + indented(written([value], false), columnOf(text, inside)) + text.slice(line),
    meant,
  )
}

/** The text without what stands at a path, and the comments above it; null where there is nothing. */
export function without(text: string, path: Path): string | null {
  const document = readSource(text)
  const inside = document && nodeAt(document, path.slice(0, -1))
  if (!document || !isCollection(inside) || !document.hasIn(path)) return null
  if (inside.items.length === 1 && !inside.flow && path.length > 1) return without(text, path.slice(0, -1))
  const meant = document.clone()
  meant.deleteIn(path)
  const at = indexIn(inside as Inside, path.at(-1)!)
  return asMeant(
    inside.flow ? withoutFlow(text, inside as Inside, at) : withoutLines(text, inside as Inside, at),
    meant,
  )
}

function withoutLines(text: string, inside: Inside, at: number): string {
  const item = inside.items[at]!
  const [begin, end] = [startOf(item), lineEnd(text, endOf(item))]
  // The first of a mapping in a list stands behind the dash of its item.
  const line = lineBegin(text, begin)
  if (isMap(inside) && /\S/.test(text.slice(line, begin))) {
    const next = inside.items[at + 1]
    return text.slice(0, begin) + (next ? text.slice(startOf(next)) : text.slice(end))
  }
  return text.slice(0, aboveComments(text, line)) + text.slice(end)
}

function withoutFlow(text: string, inside: Inside, at: number): string {
  const items = inside.items
  if (items.length === 1) return `${text.slice(0, inside.range![0] + 1)}${text.slice(inside.range![1] - 1)}`
  if (at + 1 < items.length) return text.slice(0, startOf(items[at]!)) + text.slice(startOf(items[at + 1]!))
  return text.slice(0, endOf(items[at - 1]!)) + text.slice(endOf(items[at]!))
}

type Item = Inside['items'][number]
const startOf = (item: Item): number => (isPair(item) ? (item.key as Node) : (item as Node)).range![0]
const endOf = (item: Item): number => {
  if (!isPair(item)) return (item as Node).range![1]
  return ((item as Pair<Node, Node | null>).value ?? (item.key as Node)).range![1]
}

const indexIn = (inside: Inside, name: string | number): number =>
  isSeq(inside) ? Number(name) : inside.items.findIndex((item) => isPair(item) && String(item.key) === name)

const lineBegin = (text: string, at: number): number => text.lastIndexOf('\n', at - 1) + 1

/** Where the line ends that a place is in; of a text over several lines, which ends with its last, there. */
function lineEnd(text: string, at: number): number {
  if (at > 0 && text[at - 1] === '\n') return at
  const end = text.indexOf('\n', at)
  return end < 0 ? text.length : end + 1
}

/** Where the comments begin that stand right above a line. */
export function aboveComments(text: string, line: number): number {
  let at = line
  for (;;) {
    const above = lineBegin(text, at - 1)
    if (at === 0 || !/^\s+#/.test(text.slice(above, at))) return at
    at = above
  }
}

function written(value: Value, isFlow: boolean): string {
  const document = new Document(value, AS_TEXT)
  visit(document, {
    Collection: (_, node) => {
      const isPlain = node.items.every((item) => isScalar(isPair(item) ? item.value : item))
      const isRoot = node === document.contents
      node.flow = isFlow || (!isRoot && isPlain && JSON.stringify(node).length < SHORT)
    },
  })
  return document.toString({ lineWidth: 0, flowCollectionPadding: false }).trimEnd()
}

/** A changed text, where it reads as was meant; else null. */
export function asMeant(changed: string, meant: Document): string | null {
  const read = readSource(changed)
  return read && JSON.stringify(read) === JSON.stringify(meant) ? changed : null
}
