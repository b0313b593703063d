/**
 * What was found in a job, with all that was said of it: for whoever shows it, on the phone, at the desk, on the sheet
 * that leaves with the vehicle. Pure.
 */
import type { Body, Ref } from '../ledger/bodies'
import type { Entry } from '../ledger/entry'
import type { Bundle, Step } from '../procedure/bundle'
import type { Held } from '../store'
import { type Extra, type Finding, findingsOf, isOpen, offeredOf } from './findings'
import { logEntries } from './log'

type Of<K extends Entry['kind']> = Extract<Entry, { kind: K }>

export interface ExtraNow extends Extra {
  what: Ref
  part: string | null
  minutes: number | null
  /** What shows that it is done; null while it is to do. */
  done: Of<'extra.done'> | null
}

export interface FoundNow extends Omit<Finding, 'step' | 'answers' | 'settled' | 'extras'> {
  step: Step | null
  /** By the clock of the device that noted it. */
  at: string
  person: string
  /** What the procedure calls it; null where it did not offer it. */
  offered: string | null
  words: Ref | null
  /** The entry of its photo. */
  photo: string | null
  answers: Of<'finding.answered'>[]
  settled: Of<'finding.settled'> | null
  extras: ExtraNow[]
}

/** What the procedure calls a finding and nobody has noted. */
export interface OfferNow {
  /** The reading or failure that says it. */
  entry: string
  step: Step
  says: string
}

export interface Found {
  found: FoundNow[]
  offers: OfferNow[]
}

export function foundIn(held: readonly Held[], { steps }: Pick<Bundle, 'steps'>): Found {
  const log = logEntries(held)
  const byId = new Map(held.map(({ entry }) => [entry.id, entry]))
  const done = new Map(
    held.flatMap(({ entry }) => (entry.kind === 'extra.done' ? [[entry.body.extra, entry] as const] : [])),
  )
  return {
    found: findingsOf(log).map((finding) => foundNow(finding, { byId, done, steps })),
    offers: offeredOf(log, steps).flatMap(({ id, body }) => {
      const step = steps.find((each) => each.id === body['step'])
      const says = step && offeredWords(step, body)
      return step && says ? [{ entry: id, step, says }] : []
    }),
  }
}

interface Ground {
  byId: ReadonlyMap<string, Entry>
  /** The `extra.done` of each extra. */
  done: ReadonlyMap<string, Of<'extra.done'>>
  steps: readonly Step[]
}

function foundNow(finding: Finding, { byId, done, steps }: Ground): FoundNow {
  const noted = byId.get(finding.entry) as Of<'finding.noted'>
  const step = steps.find(({ id }) => id === finding.step) ?? null
  return {
    ...finding,
    step,
    at: noted.at,
    person: noted.person,
    offered: step && offeredWords(step, noted.body),
    words: noted.body.words ?? null,
    photo: noted.body.photo ?? null,
    answers: finding.answers.map((id) => byId.get(id) as Of<'finding.answered'>),
    settled: finding.settled === null ? null : (byId.get(finding.settled) as Of<'finding.settled'>),
    extras: finding.extras.map((extra) => {
      const { what, part, minutes } = byId.get(extra.entry)!.body as Body<'extra.added'>
      const shows = extra.state === 'done' ? (done.get(extra.entry) ?? null) : null
      return { ...extra, what, part: part ?? null, minutes: minutes ?? null, done: shows }
    }),
  }
}

/** What the procedure says of the option or failure that an entry names. */
function offeredWords({ proof, fails }: Step, said: object): string | null {
  const { name, value, failure } = said as { name?: unknown; value?: unknown; failure?: unknown }
  const option = proof.find((each) => each.name === name)?.options?.find(({ id }) => id === value)
  return option?.says ?? fails.find(({ id }) => id === failure)?.says ?? null
}

/** What keeps a job from the end of all steps: the customer has said yes to it, and it is not settled. */
export const agreedOpen = ({ found }: Found): FoundNow[] =>
  found.filter(({ isAgreed, settled }) => isAgreed && settled === null)

/** What the customer still has to be asked about, or has not decided. */
export const undecidedIn = ({ found }: Found): FoundNow[] =>
  found.filter((each) => isOpen(each) && !each.isAgreed)

/** What the customer takes home as advice: found, and refused or never answered. */
export const advicesIn = ({ found }: Found): FoundNow[] =>
  found.filter(({ state }) => state === 'refused' || state === 'unsure' || state === 'asked')

/** The name of the `part.fitted` with which an extra's part goes in, so that a recall of its lot finds it. */
export const extraPartName = (extra: string): string => `extra_${extra.slice(0, 12)}`
