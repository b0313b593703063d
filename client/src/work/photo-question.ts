/** What photos are asked for across jobs: as it stands in the address, as it is sent, and what there is to choose from. Pure. */
import type { Bundle } from '../procedure/bundle'
import type { Held } from '../store'
import { counting } from './counting'

/** Fields that may be asked by; an empty one is not asked. */
const FIELDS = ['step', 'bundle', 'engine_code', 'person', 'standing', 'sharp', 'since', 'until'] as const
export type Field = (typeof FIELDS)[number]
export type Wish = Partial<Record<Field, string>>

/** `step=belt_on&since=2026-11-01`: so a search is still there after Back, and can be handed on. */
export function wishOf(address: string | null): Wish {
  const said = new URLSearchParams(address ?? '')
  return Object.fromEntries(FIELDS.flatMap((name) => (said.get(name) ? [[name, said.get(name)!]] : [])))
}

export const addressOf = (wish: Wish): string =>
  new URLSearchParams(FIELDS.flatMap((name) => (wish[name] ? [[name, wish[name]!]] : []))).toString()

export interface Choice {
  value: string
  words: string
}

const byWords = (a: Choice, b: Choice) => (a.words < b.words ? -1 : 1)

const distinct = (choices: readonly Choice[]): Choice[] =>
  [...new Map(choices.map((each) => [each.value, each])).values()].sort(byWords)

export interface ProcedureChoice {
  bundle: string
  name: string
  edition: number
  engineCodes: readonly string[]
}

/** Every edition that was ever published: old jobs went by old ones. */
export function editionsOf(statements: readonly Held[]): ProcedureChoice[] {
  const said = counting(statements).flatMap(({ entry }) =>
    entry.kind === 'bundle.published'
      ? [
          {
            bundle: entry.body.bundle,
            name: entry.body.name,
            edition: entry.body.edition,
            engineCodes: entry.body.engine_codes,
          },
        ]
      : [],
  )
  return [...new Map(said.map((each) => [each.bundle, each])).values()]
}

export const enginesOf = (editions: readonly ProcedureChoice[]): Choice[] =>
  distinct(editions.flatMap(({ engineCodes }) => engineCodes.map((code) => ({ value: code, words: code }))))

/** The steps that ask for a photo, by their titles. */
export const photoStepsOf = (bundles: readonly Bundle[]): Choice[] =>
  distinct(
    bundles.flatMap(({ steps }) =>
      steps
        .filter(({ proof }) => proof.some(({ kind }) => kind === 'photo'))
        .map(({ id, title }) => ({ value: id, words: title })),
    ),
  )

/** 'Step: Belt off, Received from: 2026-11-01': what was asked for, as it is said. */
export function askedWords(
  wish: Wish,
  labels: Readonly<Record<Field, string>>,
  choices: Partial<Record<Field, readonly Choice[]>>,
): string {
  return FIELDS.flatMap((name) => {
    const value = wish[name]
    if (!value) return []
    return `${labels[name]}: ${choices[name]?.find((each) => each.value === value)?.words ?? value}`
  }).join(', ')
}
