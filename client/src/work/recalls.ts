/**
 * Lots that were recalled and procedures that were withdrawn, and what of it is in a job. The desk, the audit and the
 * bay ask here, so that none of them thinks otherwise. Pure. Of a job: a gate of the phone before the end and of the
 * desk before the approval, never of the fold. The server's twin is `procedure/machine/recalled_parts.py`, which says the rule.
 */
import type { Ref } from '../ledger/bodies'
import { has } from '../procedure/bits'
import { History, type LogEntry } from '../procedure/log'
import type { Held } from '../store'
import { counting } from './counting'
import { logEntries } from './log'
import { lotKey } from './spelling'

/** As it was stated: `lot` in the spelling of the recall, `at` by the clock of who stated it. */
export interface Recall {
  entry: string
  lot: string
  because: string
  at: string
  /** The day by which its vehicles are to be followed up; null where none was named. */
  until: string | null
}

/** Every recall that counts, in the order of the ledger. A statement by a device that may not make it says nothing. */
export function recallsOf(statements: readonly Held[]): Recall[] {
  return counting(statements).flatMap(({ entry }) =>
    entry.kind === 'lot.recalled'
      ? [
          {
            entry: entry.id,
            lot: entry.body.lot,
            because: entry.body.because,
            at: entry.at,
            until: entry.body.until ?? null,
          },
        ]
      : [],
  )
}

/** The first recall of a lot, however it is written; null when nothing was stated. */
export const recallOf = (recalls: readonly Recall[], lot: string): Recall | null =>
  recalls.find((each) => lotKey(each.lot) === lotKey(lot)) ?? null

export interface Withdrawal {
  entry: string
  because: string
  at: string
}

/** Why a procedure was withdrawn, as it was stated last; null when it was not. */
export function withdrawalOf(statements: readonly Held[], bundle: string): Withdrawal | null {
  const said = counting(statements).flatMap(({ entry }) =>
    entry.kind === 'bundle.withdrawn' && entry.body.bundle === bundle
      ? [{ entry: entry.id, because: entry.body.because, at: entry.at }]
      : [],
  )
  return said.at(-1) ?? null
}

/** A part with a lot, as one entry says it was fitted: the recalls that the owner took over for it, and those against which it was replaced elsewhere. */
interface FittedPart {
  entry: string
  step: string
  name: string
  part: string
  lot: string
  borne: string[]
  followed: string[]
}

/** The parts that are in the engine: fitted, and no good fitting of the same step and name follows on them. */
export function inEngine(entries: readonly LogEntry[]): FittedPart[] {
  if (!entries.some(({ kind }) => kind === 'part.fitted')) return []
  const history = History.of(entries)
  const all = history.entries
  const fitted = [...all.keys()].filter((at) => all[at]!.kind === 'part.fitted')
  const isSame = (a: number, b: number) =>
    all[a]!.body['step'] === all[b]!.body['step'] && all[a]!.body['name'] === all[b]!.body['name']
  const isReplaced = (at: number) =>
    fitted.some(
      (later) => all[later]!.standing === 'good' && isSame(at, later) && has(history.past[later]!, at),
    )
  const followedOf = (at: number) =>
    all.flatMap((one, later) =>
      one.kind === 'recall.followed' &&
      one.standing === 'good' &&
      one.body['how'] === 'replaced' &&
      has(history.past[later]!, at)
        ? [String(one.body['of'])]
        : [],
    )
  return fitted.filter((at) => !isReplaced(at)).map((at) => partOf(all, all[at]!, followedOf(at)))
}

function partOf(all: readonly LogEntry[], { id, body }: LogEntry, followed: string[]): FittedPart {
  const borne = all.flatMap((one) =>
    one.kind === 'recall.borne' && one.standing === 'good' && (one.body['parts'] as string[]).includes(id)
      ? [String(one.body['recall'])]
      : [],
  )
  const [step, name, part, lot] = ['step', 'name', 'part', 'lot'].map((member) => String(body[member])) as [
    string,
    string,
    string,
    string,
  ]
  const sorted = (recalls: string[]) => [...new Set(recalls)].sort()
  return { entry: id, step, name, part, lot, borne: sorted(borne), followed: sorted(followed) }
}

/** A recall and the parts of its lot that are in the engine of one job: those that still stop it, and those the owner took over. */
export interface RecallInJob {
  recall: Recall
  standing: FittedPart[]
  borne: FittedPart[] /** The owner's reasons. */
  because: Ref[]
}

/** What the recalls find in a job, those that stop it first. */
export function recalledIn(held: readonly Held[], recalls: readonly Recall[]): RecallInJob[] {
  const lots = new Set(
    held.flatMap(({ entry }) => (entry.kind === 'part.fitted' ? [lotKey(entry.body.lot)] : [])),
  )
  const about = recalls.filter(({ lot }) => lots.has(lotKey(lot)))
  if (about.length === 0) return []
  const parts = inEngine(logEntries(held))
  return about
    .map((recall) => {
      const hit = parts.filter(
        ({ lot, followed }) => lotKey(lot) === lotKey(recall.lot) && !followed.includes(recall.entry),
      )
      const because = held.flatMap(({ entry, standing }) =>
        entry.kind === 'recall.borne' && standing === 'good' && entry.body.recall === recall.entry
          ? [entry.body.because]
          : [],
      )
      return {
        recall,
        standing: hit.filter(({ borne }) => !borne.includes(recall.entry)),
        borne: hit.filter(({ borne }) => borne.includes(recall.entry)),
        because,
      }
    })
    .filter(({ standing, borne }) => standing.length + borne.length > 0)
    .sort((a, b) => Number(b.standing.length > 0) - Number(a.standing.length > 0))
}

/** Those that stop the job: neither replaced nor taken over. */
export const unsettled = (found: readonly RecallInJob[]): RecallInJob[] =>
  found.filter(({ standing }) => standing.length > 0)

/** Why a lot must not be fitted any more; null when nothing was stated. */
export const lotRecalled = (statements: readonly Held[], lot: string): string | null =>
  recallOf(recallsOf(statements), lot)?.because ?? null
