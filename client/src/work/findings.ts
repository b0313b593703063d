/**
 * What was found in a job beside the procedure's work, and how far each finding has come: a gate of the screen before the
 * end, as recalls are, never of the fold. The server's twin is `procedure/machine/findings.py`, which says the rules.
 */
import { add, type Bits, has, meet, noBits } from '../procedure/bits'
import { History, type LogEntry } from '../procedure/log'
import type { Step } from '../procedure/shape'

export interface Extra {
  /** Its `extra.added`. */
  entry: string
  state: 'asked' | 'agreed' | 'left_out' | 'done'
}

export interface Finding {
  /** Its `finding.noted`. */
  entry: string
  step: string
  state: 'asked' | 'agreed' | 'refused' | 'unsure' | 'done' | 'dropped'
  /** The customer's word is yes. */
  isAgreed: boolean
  /** The words of the customer that count. */
  answers: string[]
  settled: string | null
  extras: Extra[]
}

/** Somebody has to do or ask something. */
export const isOpen = ({ state }: Pick<Finding, 'state'>): boolean =>
  state === 'asked' || state === 'agreed' || state === 'unsure'

/** A log, read once: what it says of which finding, as far as that counts. */
class Log {
  readonly history: History
  readonly noted: LogEntry[] = []
  /** Extras that are done. */
  readonly done = new Set<unknown>()
  private readonly said = new Map<string, number[]>()

  constructor(entries: readonly LogEntry[]) {
    this.history = History.of(entries)
    for (const [at, entry] of this.history.entries.entries()) this.read(entry, at)
  }

  private read(entry: LogEntry, at: number): void {
    const { kind, body, standing } = entry
    if (kind === 'finding.noted') this.noted.push(entry)
    if (standing !== 'good') return
    if (kind === 'extra.done') this.done.add(body['extra'])
    if (!ABOUT.includes(kind)) return
    const of = `${kind} ${body['finding']}`
    const known = this.said.get(of)
    if (known) known.push(at)
    else this.said.set(of, [at])
  }

  /** What is said of a finding in a kind. */
  about(kind: string, finding: string): number[] {
    return this.said.get(`${kind} ${finding}`) ?? []
  }

  /** Those of them that no other of the kind follows. */
  newest(kind: string, finding: string): number[] {
    const said = this.about(kind, finding)
    const all = this.bits(said)
    return said.filter((at) => !meet(this.history.future[at]!, all))
  }

  bits(entries: readonly number[]): Bits {
    const found = noBits(this.history.entries.length)
    for (const at of entries) add(found, at)
    return found
  }
}

const ABOUT = ['finding.answered', 'finding.settled', 'extra.added']

/** Everything found, in the order of the log. */
export function findingsOf(entries: readonly LogEntry[]): Finding[] {
  if (!entries.some(({ kind }) => kind === 'finding.noted')) return []
  const log = new Log(entries)
  return log.noted.map((noted) => findingOf(log, noted))
}

function findingOf(log: Log, { id, body }: LogEntry): Finding {
  const { entries } = log.history
  const answers = log.newest('finding.answered', id)
  const said = new Set(answers.map((at) => entries[at]!.body['answer']))
  const isAgreed = said.size === 1 && said.has('yes')
  const extras = extrasOf(log, id, answers, isAgreed)
  const settled = settledOf(log, id)
  return {
    entry: id,
    step: String(body['step']),
    state: settled
      ? settled.body['how'] === 'done'
        ? 'done'
        : 'dropped'
      : stateOf(said.size > 1, isAgreed, answers, extras),
    isAgreed,
    answers: answers.map((at) => entries[at]!.id),
    settled: settled?.id ?? null,
    extras,
  }
}

function stateOf(
  isUnsure: boolean,
  isAgreed: boolean,
  answers: readonly number[],
  extras: readonly Extra[],
): Finding['state'] {
  if (isUnsure) return 'unsure'
  if (isAgreed) return extras.some(({ state }) => state === 'asked') ? 'asked' : 'agreed'
  return answers.length > 0 ? 'refused' : 'asked'
}

function extrasOf(log: Log, finding: string, answers: readonly number[], isAgreed: boolean): Extra[] {
  const { entries, past } = log.history
  const named = new Set(answers.flatMap((at) => (entries[at]!.body['extras'] ?? []) as string[]))
  const state = (at: number, entry: string): Extra['state'] => {
    if (log.done.has(entry)) return 'done'
    if (isAgreed && named.has(entry)) return 'agreed'
    return answers.length > 0 && answers.every((one) => has(past[one]!, at)) ? 'left_out' : 'asked'
  }
  return log.about('extra.added', finding).map((at) => {
    const entry = entries[at]!.id
    return { entry, state: state(at, entry) }
  })
}

/** What ended it; who answered or added since has opened it again. */
function settledOf(log: Log, finding: string): LogEntry | null {
  const settled = log.newest('finding.settled', finding).at(-1)
  if (settled === undefined) return null
  const since = ['finding.answered', 'extra.added'].flatMap((kind) => log.about(kind, finding))
  return meet(log.history.future[settled]!, log.bits(since)) ? null : log.history.entries[settled]!
}

/**
 * The entries that say what the bundle's steps call a finding, and of which none was noted: of a choice's readings the
 * last, and failures.
 */
export function offeredOf(entries: readonly LogEntry[], steps: readonly Step[]): LogEntry[] {
  const asked = askedOf(steps)
  const offers = ({ kind }: LogEntry) => kind === 'reading.taken' || kind === 'step.failed'
  if (!entries.some((one) => offers(one) && asked.has(placeOf(one)))) return []
  const { entries: all, index } = History.of(entries)
  const noted = new Set(all.flatMap((one) => (one.kind === 'finding.noted' ? [placeOf(one)] : [])))
  const newestOf = new Map<string, LogEntry>()
  for (const one of all) if (offers(one)) newestOf.set(spotOf(one), one)
  return [...newestOf.values()]
    .filter((one) => asked.has(placeOf(one)) && !noted.has(placeOf(one)))
    .sort((a, b) => index.get(a.id)! - index.get(b.id)!)
}

/** What a bundle's steps call findings: options, and failures. */
const askedOf = (steps: readonly Step[]): Set<string> =>
  new Set(
    steps.flatMap(({ id, proof, fails }) => [
      ...proof.flatMap(({ name, options = [] }) =>
        options.filter(({ finding }) => finding).map((option) => `${id} ${name} ${option.id}`),
      ),
      ...fails.filter(({ finding }) => finding).map((failure) => `${id} ${failure.id}`),
    ]),
  )

const joined = ({ body }: LogEntry, names: readonly string[]) => names.map((name) => body[name]).join(' ')

/** What an entry says of a choice or a failure. */
export const placeOf = (entry: LogEntry): string =>
  joined(entry, 'failure' in entry.body ? ['step', 'failure'] : ['step', 'name', 'value'])

/** What a later entry takes the place of: the same choice, the same failure. */
const spotOf = (entry: LogEntry): string =>
  joined(entry, 'failure' in entry.body ? ['step', 'failure'] : ['step', 'name'])
