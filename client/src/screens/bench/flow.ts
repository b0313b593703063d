/** Lists and mappings of short words as they are typed into one field: `a, b`, or `gear: neutral, brake: on`. Pure. */
import { Document, parseDocument, visit } from 'yaml'
import { AS_TEXT } from './edits'
import type { Value } from './structure'

/** What stands between the braces or brackets of a value; words alone as they are. */
export function asFlow(value: unknown): string {
  if (typeof value === 'string') return value
  const document = new Document(value, AS_TEXT)
  visit(document, { Collection: (_, node) => void (node.flow = true) })
  return document.toString({ lineWidth: 0, flowCollectionPadding: false }).trim().slice(1, -1)
}

/** The list or mapping that was typed; null where it is none. */
export function fromFlow(typed: string, kind: 'list' | 'mapping'): Value | null {
  const read = parseDocument(kind === 'list' ? `[${typed}]` : `{${typed}}`, AS_TEXT)
  if (read.errors.length > 0) return null
  const value = read.toJS() as Value
  return JSON.stringify(value).includes('null') ? null : value
}
