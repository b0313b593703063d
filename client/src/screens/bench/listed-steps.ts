/** The steps of a source in their order, those that its blocks bring included, and an entry of its own for one of them. Pure. */
import { isScalar, isSeq, stringify, type Document, type Node, type YAMLSeq } from 'yaml'
import type { Bundle } from '../../procedure/bundle'
import { lengthAt, nodeAt, readSource, wordsAt, type Path } from './edits'
import { asMeant, withValue } from './structure'

/** A step of a procedure. `at`: where the source writes it or says something of it; null where a block brings it whole. */
export interface ListedStep {
  name: string
  says: string
  at: readonly ['steps', number] | null
  /** Where its name stands in the source; of a way back that only a block knows, the steps. */
  stands: Path
}

/** Every step that the source names, then the ways back of its blocks, which follow by themselves. */
export function listedSteps(document: Document, bundle: Bundle | null): ListedStep[] {
  const listed = [...Array(lengthAt(document, ['steps'])).keys()].flatMap((nth) => itemOf(document, nth))
  const names = new Set(listed.map(({ name }) => name))
  const follow = (bundle?.steps ?? []).flatMap(({ id, undo }) =>
    undo && !names.has(id) ? { name: id, at: null, stands: ['steps'] } : [],
  )
  return [...listed, ...follow].map((step) => {
    const compiled = bundle?.steps.find(({ id }) => id === step.name)
    const said = (field: 'number' | 'title') =>
      (step.at && wordsAt(document, [...step.at, field])) ?? compiled?.[field]
    return { ...step, says: `${said('number') ?? ''} ${said('title') ?? step.name}`.trim() }
  })
}

type Item = Omit<ListedStep, 'says'>

function itemOf(document: Document, nth: number): Item[] {
  const at = ['steps', nth] as const
  const own = wordsAt(document, [...at, 'id']) ?? wordsAt(document, [...at, 'step'])
  if (own !== null) return [{ name: own, at, stands: at }]
  const one = wordsAt(document, at)
  if (one !== null) return [{ name: one, at: null, stands: at }]
  return [...Array(lengthAt(document, at)).keys()].flatMap((inside) => {
    const stands = [...at, inside]
    const name = wordsAt(document, stands)
    return name === null ? [] : [{ name, at: null, stands }]
  })
}

/** The text with a `step` entry where a block's step is named, or behind all where it is not; null where it cannot be. */
export function withStepEntry(text: string, name: string): string | null {
  const document = readSource(text)
  const list = document && nodeAt(document, ['steps'])
  if (!isSeq(list) || list.flow) return null
  const items = list.items as Node[]
  const holds = (node: Node) => isScalar(node) && node.value === name
  const nth = items.findIndex((item) => holds(item) || (isSeq(item) && (item.items as Node[]).some(holds)))
  const item = items[nth]
  if (item === undefined) return withLast(text, items.length, name)
  const meant = document!.clone()
  const steps = meant.get('steps') as YAMLSeq
  if (!isSeq(item)) {
    steps.items[nth] = meant.createNode({ step: name })
    const [begin, end] = item.range!
    return asMeant(text.slice(0, begin) + entryOf(name) + text.slice(end), meant)
  }
  const inside = (item.items as Node[]).findIndex(holds)
  const named = item.toJS(document!) as unknown[]
  const parts = [named.slice(0, inside), { step: name }, named.slice(inside + 1)]
  const kept = parts.filter((part) => !Array.isArray(part) || part.length > 0)
  steps.items.splice(nth, 1, ...kept.map((part) => meant.createNode(part)))
  return item.flow ? asMeant(parted(text, list as YAMLSeq<Node>, item as YAMLSeq<Node>, inside), meant) : null
}

const entryOf = (name: string) => stringify({ step: name }).trimEnd()

/** An entry behind all steps, with room below it for what it will say. */
function withLast(text: string, nth: number, name: string): string | null {
  const added = withValue(text, ['steps', nth], { step: name })
  return added && asMeant(added.replace(`{${entryOf(name)}}`, entryOf(name)), readSource(added)!)
}

/** A line of names cut at one of them: what stood before, its entry, what stood behind. */
function parted(text: string, list: YAMLSeq<Node>, { items, range }: YAMLSeq<Node>, at: number): string {
  const column = list.range![0] - (text.lastIndexOf('\n', list.range![0]) + 1)
  const line = `\n${' '.repeat(column)}`
  const [open, close] = range!
  const [start, end] = items[at]!.range!
  const said = entryOf(text.slice(start, end))
  const [before, behind] = [items[at - 1]?.range?.[1], items[at + 1]?.range?.[0]]
  const first =
    before === undefined ? '' : `${text.slice(open, before)}]${gap(text.slice(before, start), line)}${line}- `
  const last =
    behind === undefined ? '' : `${gap(text.slice(end, behind), line)}${line}- [${text.slice(behind, close)}`
  return text.slice(0, open) + first + said + last + text.slice(close)
}

/** The comments between two names: one on the line of the first stays there, each other has a line. */
function gap(between: string, line: string): string {
  const [beside, ...below] = between
    .replace(/^(\s*(?:#.*\n\s*)*),/, '$1')
    .split('\n')
    .map((each) => each.trim())
  return (beside ? `   ${beside}` : '') + below.map((each) => each && line + each).join('')
}
