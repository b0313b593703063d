/** What a count is of, by name: the parts of the kit, those of them used once, or the tools. */
import type { BoardTool } from '../../../work/shown'
import { isThere } from '../../../parts/board'
import type { Bundle, Proof } from '../../../procedure/bundle'
import * as words from '../../../words/en/bay/proofs/counted-things'
import { t } from '../../../words/message'

export interface Thing {
  id: string
  label: string
  /** How many of it there are: one tick says that all of them are there. */
  count: number
  /** The board's own state, where the thing is a tool. */
  tool: BoardTool | null
}

/** The things to be ticked, in the order of the procedure. */
export function thingsOf(
  of: NonNullable<Proof['of']>,
  { kit }: Pick<Bundle, 'kit'>,
  board: readonly BoardTool[],
): Thing[] {
  if (of === 'tools')
    return board.map((tool) => ({
      id: tool.slot,
      label:
        tool.tag === undefined || tool.label.includes(tool.tag) ? tool.label : `${tool.tag} ${tool.label}`,
      count: 1,
      tool,
    }))
  return kit
    .filter(({ single_use }) => of === 'kit' || single_use)
    .map(({ part, label, count }) => ({ id: part, label, count, tool: null }))
}

/** A tool that is out is not there, whatever was tapped before it was taken. */
export const isTicked = ({ id, tool }: Thing, taps: ReadonlySet<string>): boolean =>
  taps.has(id) && (tool === null || isThere(tool))

export const countOf = (things: readonly Thing[]): number => things.reduce((sum, { count }) => sum + count, 0)

/** What keeps the count from being whole, by name: what cannot be ticked before what is only not ticked yet. */
export function missingOf(
  things: readonly Thing[],
  taps: ReadonlySet<string>,
): { thing: Thing; because: string } | null {
  const away = things.find(({ tool }) => tool !== null && !isThere(tool))
  if (away) return { thing: away, because: away.tool?.lost ? t(words.isLost) : t(words.isOut) }
  const next = things.find((thing) => !isTicked(thing, taps))
  const ticked = things.filter((thing) => isTicked(thing, taps))
  return next
    ? { thing: next, because: t(words.notTickedOf, { ticked: countOf(ticked), all: countOf(things) }) }
    : null
}

/** The marks with one of them set, or taken back. */
export const flipped = <T>(marks: ReadonlySet<T>, one: T): ReadonlySet<T> =>
  new Set(marks.has(one) ? [...marks].filter((each) => each !== one) : [...marks, one])
