/**
 * A part of a step as the form shows it: what the source says of it, over what it has from a block. What is changed of a
 * block's part is said in the source, under the name by which the workshop knows the part again. Pure.
 */
import type { Document } from 'yaml'
import { lengthAt, nodeAt, wordsAt, type Path } from './edits'
import type { Change, Value } from './structure'

export interface Part {
  /** Where the source says it, or would. */
  at: Path
  /** As its block has it; null of what is the procedure's own. */
  below: object | null
  /** What must be said first, so that it is known which part is meant. */
  named: readonly Change[]
}

export interface Member {
  name: string
  part: Part
  /** Whether the source itself says something of it. */
  isHere: boolean
}

const insideOf = ({ below }: Part, field: string): unknown =>
  (below as Record<string, unknown> | null)?.[field]

/** Whether a block says something under a name: an empty list and a `no` are nothing. */
export function hasBelow(part: Part, field: string): boolean {
  const below = insideOf(part, field)
  return Array.isArray(below) ? below.length > 0 : Boolean(below)
}

/** The words of a field, and whether they are a block's; null where it has none. */
export function saidOf(
  document: Document,
  part: Part,
  field: string,
): { words: string; isBelow: boolean } | null {
  const said = wordsAt(document, [...part.at, field])
  if (said !== null) return { words: said, isBelow: false }
  const below = insideOf(part, field)
  return typeof below === 'string' && below !== '' ? { words: below, isBelow: true } : null
}

/** The members of a list that are told apart by a name: the block's, and those that the source has besides. */
export function membersOf(document: Document, part: Part, list: string, by: 'id' | 'name'): Member[] {
  const at = [...part.at, list]
  const count = lengthAt(document, at)
  const here = [...Array(count).keys()].map((nth) => wordsAt(document, [...at, nth, by]) ?? String(nth + 1))
  const blocks = (insideOf(part, list) as readonly Record<string, string>[] | undefined) ?? []
  const names = [...new Set([...blocks.map((each) => each[by]!), ...here])]
  return names.map((name) => {
    const nth = here.indexOf(name)
    const isHere = nth >= 0
    const member = [...at, isHere ? nth : count]
    return {
      name,
      isHere,
      part: {
        at: member,
        below: blocks.find((each) => each[by] === name) ?? null,
        named: isHere ? [] : [...part.named, [[...member, by], name]],
      },
    }
  })
}

/** A mapping inside a part: its caution, its torque. */
export const partIn = (part: Part, field: string): Part => ({
  at: [...part.at, field],
  below: (insideOf(part, field) as object | undefined) ?? null,
  named: part.named,
})

/** A list of words: the source's whole where it has one, else the block's. */
export function listOf(document: Document, part: Part, field: string): { words: string[]; isBelow: boolean } {
  const said = nodeAt(document, [...part.at, field])?.toJS(document) as string[] | string | undefined
  if (said !== undefined) return { words: typeof said === 'string' ? [said] : said, isBelow: false }
  return { words: [...((insideOf(part, field) as readonly string[] | undefined) ?? [])], isBelow: true }
}

/** The changes that say something of a part. */
export const saying = (part: Part, field: string, value: Value | null): Change[] => [
  ...part.named,
  [[...part.at, field], value],
]
