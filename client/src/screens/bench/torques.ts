/** The torques of a procedure, those that blocks bring included, against the wrenches of its board. Pure. */
import type { Document } from 'yaml'
import type { Bundle } from '../../procedure/bundle'
import { lengthAt, wordsAt } from './edits'

export interface TorqueRow {
  id: string
  number: string
  title: string
  nm: string
  angleDeg: string | null
  /** The fasteners that it is for, in their order. */
  bolts: readonly string[]
  /** The wrenches whose range it is in. */
  wrenches: readonly string[]
  /** Where the source itself says it; null where a block brings it. */
  at: readonly ['steps', number, 'torque'] | null
}

/** A wrench is read to a fifth of its scale at the least, as the check has it. */
const LEAST_OF_SCALE = 0.2

export function torquesOf({ steps, tools }: Bundle, document: Document): TorqueRow[] {
  const wrenches = tools.filter(({ unit }) => unit === 'N·m')
  return steps.flatMap(({ id, number, title, torque }): TorqueRow[] => {
    if (!torque) return []
    const nm = Number(torque.nm)
    const reaches = wrenches.filter(
      ({ low, high }) => nm >= Math.max(Number(low), LEAST_OF_SCALE * Number(high)) && nm <= Number(high),
    )
    return [
      {
        id,
        number,
        title,
        nm: torque.nm,
        angleDeg: torque.angle_deg ?? null,
        bolts: torque.sequence,
        wrenches: reaches.map(({ label }) => label),
        at: placeIn(document, id),
      },
    ]
  })
}

function placeIn(document: Document, id: string): TorqueRow['at'] {
  for (const nth of Array(lengthAt(document, ['steps'])).keys()) {
    const named = ['id', 'step'].some((field) => wordsAt(document, ['steps', nth, field]) === id)
    const at = ['steps', nth, 'torque'] as const
    if (named && wordsAt(document, [...at, 'nm']) !== null) return at
  }
  return null
}
