/**
 * What belongs together and is counted together: sets of locking tools, kits of parts. The last statement of a set stands in
 * the place of those before; one that was retired is back once it is registered again. Pure.
 */
import type { Body } from '../ledger/bodies'
import type { Held } from '../store'
import { counting } from './counting'
import { toolKey } from './spelling'
import * as words from '../words/en/work/sets'
import { nameIn, namesOf } from '../words/message'

export type RegisteredSet = Body<'set.registered'> & {
  /** Why it is not there any more; null while it is. */
  retired: string | null
}

export const SET_TYPES = namesOf(words.types)

export const setTypeName = (type: string): string => nameIn(SET_TYPES, type)

/** By name, those that are not there any more last. */
export function setsOf(statements: readonly Held[]): RegisteredSet[] {
  const sets = new Map<string, RegisteredSet>()
  for (const { entry } of counting(statements)) {
    if (entry.kind === 'set.registered') sets.set(toolKey(entry.body.set), { ...entry.body, retired: null })
    if (entry.kind === 'set.retired') {
      const known = sets.get(toolKey(entry.body.set))
      if (known) known.retired = entry.body.because
    }
  }
  return [...sets.values()].sort(
    (a, b) => Number(a.retired !== null) - Number(b.retired !== null) || a.set.localeCompare(b.set),
  )
}

export const setOf = (sets: readonly RegisteredSet[], name: string): RegisteredSet | null =>
  sets.find(({ set }) => toolKey(set) === toolKey(name)) ?? null
