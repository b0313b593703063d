/** What something begins as that the form adds: it compiles, and says what is to be written in its place. Pure. */
import type { FillInRow } from '../../ledger/answers'
import type { ProofKind } from '../../procedure/shape'
import type { Value } from './structure'
import * as words from '../../words/en/bench/starters'
import { t } from '../../words/message'

/** Of a step: what it may have besides its title, key and sentences. */
export const STEP_PARTS = {
  title: t(words.title),
  act: t(words.act),
  says: [t(words.sentence)],
  because: t(words.because),
  caution: { sign: 'warning', says: t(words.caution) },
  torque: { nm: '10', sequence: ['1', '2'] },
  drawn: 'look',
  look: ['crank'],
  asks: {},
  does: [],
  tools_out: [],
  tools_in: [],
  takes: {},
  together: 'together',
  must: 'yes',
  once: 'yes',
  undo: 'yes',
} as const satisfies Record<string, Value>

export type StepPart = keyof typeof STEP_PARTS

export function proofOf(kind: ProofKind, name: string): Value {
  const label = t(words.label)
  switch (kind) {
    case 'reading':
      return { name, kind, label, unit: 'mm', low: '1', high: '2' }
    case 'photo':
      return { name, kind, label, hint: t(words.hint) }
    case 'count':
      return { name, kind, label, target: '2' }
    case 'wait':
      return { name, kind, label, low: '10', unit: 'min' }
    case 'choice': {
      const options = [
        { id: 'good', says: t(words.good) },
        { id: 'bad', says: t(words.bad), ok: 'no' },
      ]
      return { name, kind, label, options }
    }
    case 'scan':
    case 'confirm':
    case 'signature':
      return { name, kind, label }
  }
}

export const optionOf = (id: string): Value => ({ id, says: t(words.good) })

export const failureOf = (id: string): Value => ({ id, says: t(words.seen), then: t(words.then) })

export const stepOf = (id: string, number: string | null, phase: string): Value => ({
  id,
  ...(number === null ? {} : { number }),
  phase,
  title: t(words.title),
  act: t(words.act),
  says: [t(words.sentence)],
})

/** Of a list that a block asks for: its name is fresh, a figure is 1, and words say that they are to be written. */
export const memberOf = (fields: FillInRow['of'], taken: readonly string[]): Value =>
  Object.fromEntries(
    fields.map(({ name, kind }) => {
      if (kind === 'words') return [name, t(words.toBeWritten)]
      return [name, kind === 'name' ? freshName(name, taken) : '1']
    }),
  )

/** A name that none of these is: `proof`, `proof_2`, ... */
export function freshName(stem: string, taken: readonly string[]): string {
  for (let n = 1; ; n++) {
    const name = n === 1 ? stem : `${stem}_${n}`
    if (!taken.includes(name)) return name
  }
}
