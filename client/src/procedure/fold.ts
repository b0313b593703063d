/**
 * The fold: a job's entries in, its state out. The rules are formats.md, section 6, Fold.
 *
 * Pure, and the same whatever order the entries came in and whatever their clocks said: only links count. What two
 * phones wrote without knowing of each other is kept from both sides, and a proof that this touches is none, so that no
 * proof holds that would not hold in every order in which things can have happened.
 *
 * Rule for rule as `server/twoturns/procedure/machine/fold.py`, and held to it by `tests/server/procedure/machine/test_fold.py`.
 */
import { and, type Bits, has, isEmpty, less, meet, members, noBits, add, or } from './bits'
import { type Done, Judgement, passedBy, View } from './judge'
import { byText, History, type LogEntry } from './log'
import { type Machine, permitNote } from './machine'
import { type Begun, type Closed, type Flag, type JobState, type Loss, mayEnd, type Question } from './state'

export type { LogEntry } from './log'
export type { JobState } from './state'

const STEP_KINDS = ['step.begun', 'step.done', 'step.failed', 'step.reopened', 'review.gap']
const FLAGGED_KINDS: Readonly<Record<string, string>> = {
  'step.failed': 'failed',
  'step.reopened': 'reopened',
  'reading.corrected': 'corrected',
  'review.gap': 'gap-accepted',
  'tool.lost': 'tool-lost',
  unread: 'unread',
}
/** What may come in after a job was closed without changing what was closed. */
const TALK = /^(review|recall|finding|notice|page)\.|^note\.added$|^job\.(closed|planned|parked|resumed)$/

/** What an owner says of a job without changing what was approved in it. */
const SAID_OF_APPROVED = ['recall.followed', 'notice.settled', 'page.shared', 'page.ended']

/** The state of a job, from its entries with their standing, in any order. */
export const fold = (machine: Machine, entries: readonly LogEntry[]): JobState =>
  foldOn(null, machine, entries).state

/**
 * The same, gone on with from a fold of fewer entries where each of the new ones has seen all before it, as what a phone
 * writes by itself has; computed anew otherwise. Either way it says the same.
 */
export function foldOn(before: Fold | null, machine: Machine, entries: readonly LogEntry[]): Fold {
  const news = before?.machine === machine ? before.lackedOf(entries) : null
  const gone = news?.reduce((fold: Fold | null, entry) => fold?.followedBy(entry) ?? null, before)
  return gone ?? new Fold(machine, new Judgement(machine, History.of(entries)))
}

/** Puts the state together. */
export class Fold {
  private readonly history: History
  /** Those of good standing. */
  private readonly openings: Bits
  private told: JobState | null = null
  private wholeView: View | null = null

  constructor(
    readonly machine: Machine,
    private readonly judgement: Judgement,
  ) {
    this.history = this.judgement.history
    this.openings = noBits(this.history.entries.length)
    this.history.entries.forEach(({ kind, standing }, at) => {
      if (kind === 'job.opened' && standing === 'good') add(this.openings, at)
    })
  }

  /** Told when it is asked for: of an act's entries only the last is. */
  get state(): JobState {
    this.told ??= this.stated()
    return this.told
  }

  private get whole(): View {
    this.wholeView ??= new View(this.judgement, this.history.all)
    return this.wholeView
  }

  /** Those of these entries that are not in here; null where one in here is not among them, or stands otherwise. */
  lackedOf(entries: readonly LogEntry[]): LogEntry[] | null {
    const { index, entries: mine } = this.history
    const isHere = ({ id, standing }: LogEntry) => mine[index.get(id) ?? -1]?.standing === standing
    const news = entries.filter((entry) => !isHere(entry))
    return entries.length - news.length === mine.length ? news : null
  }

  /** With one entry that has seen all of these; null where it has not. A correction counts from before its own place. */
  followedBy(entry: LogEntry): Fold | null {
    const history = entry.kind === 'reading.corrected' ? null : this.history.followedBy(entry)
    return history && new Fold(this.machine, new Judgement(this.machine, history, this.judgement))
  }

  private stated(): JobState {
    const steps = this.machine.steps.map((_, s) => this.whole.step(s))
    return {
      conditions: this.whole.conditions(),
      steps: steps.map(([status]) => status),
      tried: this.tried(),
      doneBy: steps.map(([, by]) => by.map((at) => this.entry(at).id)),
      lost: steps.map(([status], s) => (status === 'todo' ? this.loss(s) : null)),
      toolsOut: this.toolsOut(this.history.all),
      questions: this.questions(this.history.all),
      exceptions: this.history.entries.flatMap((entry, at) => this.flags(entry, at)),
      begun: this.begun(),
      closed: this.closed(),
      approved: this.approved(),
      heads: this.history.heads(),
    }
  }

  private tried(): boolean[] {
    const { stepOf } = this.judgement
    const worked = this.history.entries.map(({ kind }, at) =>
      kind === 'step.done' || kind === 'step.failed' ? stepOf[at] : null,
    )
    const found = new Set(worked)
    return this.machine.steps.map((_, s) => found.has(s))
  }

  private entry(at: number): LogEntry {
    return this.history.entries[at]!
  }

  /** What first took away the last good doing of a step. */
  private loss(s: number): Loss | null {
    const { dones, gaps, resets, causes, judged } = this.judgement
    const last = members(or(dones[s]!, gaps[s]!)).at(-1)
    if (last === undefined) return null
    const [at] = members(less(resets[s]!, this.history.past[last]!))
    if (at !== undefined) return { entry: this.entry(at).id, condition: causes[s]!.get(at)! }
    const done = judged.get(last)
    const other = done && this.other(done)
    return other ? { entry: other, condition: null } : null
  }

  /** The first entry beside a done step that its place in the order cannot bear. */
  private other({ contrary, step }: Done): string | null {
    if (contrary === null) return null
    const [at] = members(less(contrary, this.judgement.twins(step, this.whole.valid)))
    return at === undefined ? null : this.entry(at).id
  }

  private toolsOut(among: Bits): string[] {
    const back = new Map<string, Bits>()
    const entries = members(among)
    for (const at of entries) {
      const { kind, standing, body } = this.entry(at)
      if ((kind !== 'tool.in' && kind !== 'tool.lost') || standing !== 'good') continue
      const slot = String(body['tool'])
      if (!back.has(slot)) back.set(slot, noBits(this.history.entries.length))
      add(back.get(slot)!, at)
    }
    const out = entries.filter((at) => {
      const returned = back.get(String(this.entry(at).body['tool']))
      return this.entry(at).kind === 'tool.out' && !(returned && meet(returned, this.history.future[at]!))
    })
    return [...new Set(out.map((at) => String(this.entry(at).body['tool'])))].sort(byText)
  }

  private questions(among: Bits): Question[] {
    return members(among)
      .filter((at) => this.entry(at).kind === 'review.returned' && !this.isAnswered(at, among))
      .map((at) => ({ entry: this.entry(at).id, step: this.judgement.stepOf[at]! }))
  }

  private isAnswered(question: number, among: Bits): boolean {
    const { id, body } = this.entry(question)
    return members(and(this.history.future[question]!, among)).some((at) => {
      const other = this.entry(at)
      if (other.standing !== 'good') return false
      if (other.kind === 'review.answered') return other.body['question'] === id
      return (
        (other.kind === 'step.reopened' || other.kind === 'review.gap') && other.body['step'] === body['step']
      )
    })
  }

  private begun(): Begun[] {
    return this.judgement.begun.flatMap((entries, step) => {
      const last = members(entries)
        .filter((at) => !this.isSettled(at, step))
        .at(-1)
      if (last === undefined) return []
      const without = new View(this.judgement, less(this.history.all, entries))
      return [{ step, entry: this.entry(last).id, conditions: without.conditions() }]
    })
  }

  /** A beginning is settled when the step was done or failed, or all it moved was set. */
  private isSettled(at: number, s: number): boolean {
    const future = this.history.future[at]!
    const { dones, failed, writes } = this.judgement
    if (meet(future, dones[s]!) || meet(future, failed[s]!)) return true
    const engine = this.machine.steps[s]!.on_the_way.filter(([c]) => !this.machine.conditions[c]!.proof)
    return engine.length > 0 && engine.every(([c]) => meet(writes.goodSettings[c]!, future))
  }

  private closed(): Closed | null {
    const all = this.history.entries
    const closings = [...all.keys()].filter(
      (n) => all[n]!.kind === 'job.closed' && all[n]!.standing === 'good',
    )
    const at = closings.at(-1)
    if (at === undefined) return null
    const past = this.history.past[at]!
    const changed = all.some(({ kind }, n) => n !== at && !has(past, n) && !TALK.test(kind))
    return { entry: all[at]!.id, end: String(all[at]!.body['end']), changed }
  }

  private approved(): 'approved' | 'changed' | null {
    const approvals = noBits(this.history.entries.length)
    this.history.entries.forEach(({ kind, standing }, at) => {
      if (kind === 'review.approved' && standing === 'good') add(approvals, at)
    })
    if (isEmpty(approvals)) return null
    const saidSince = noBits(this.history.entries.length)
    this.history.entries.forEach(({ kind, standing }, at) => {
      if (SAID_OF_APPROVED.includes(kind) && standing === 'good') add(saidSince, at)
    })
    const rest = less(less(this.history.all, approvals), saidSince)
    const isWhole = members(approvals).some((at) => isEmpty(less(rest, this.history.past[at]!)))
    return isWhole ? 'approved' : 'changed'
  }

  // What the owner must look at.

  private flags(entry: LogEntry, at: number): Flag[] {
    const { id, kind, standing, body } = entry
    const step = this.judgement.stepOf[at]!
    const own = step === null ? { entry: id } : { entry: id, step }
    const found: Flag[] = []
    if (standing !== 'good') found.push({ ...own, code: standing })
    if (this.isUnknown(at, entry)) found.push({ ...own, code: 'unknown' })
    const flagged = FLAGGED_KINDS[kind]
    if (flagged) {
      const slot = kind === 'tool.lost' ? { name: String(body['tool']) } : {}
      found.push({ ...own, code: flagged, ...slot })
    }
    const permit = step === null ? undefined : this.machine.steps[step]!.permit
    if (permit !== undefined && kind === 'note.added' && body['name'] === permitNote(permit))
      found.push({ ...own, code: 'without-permit' })
    const other = kind === 'job.opened' ? this.openedBefore(at) : undefined
    if (other !== undefined) found.push({ entry: id, code: 'opened-again', other })
    const done = this.judgement.judged.get(at)
    if (done) found.push(...this.flagsOfDone(done, id))
    if (kind === 'job.closed' && standing === 'good' && this.isClosedEarly(at, entry)) {
      found.push({ entry: id, code: 'out-of-order' })
    }
    return found
  }

  /** A good opening that this one does not come before: the two began one job twice. */
  private openedBefore(at: number): string | undefined {
    const future = this.history.future[at]!
    const openings = members(this.openings).filter((other) => other !== at && !has(future, other))
    const first = openings[0]
    return first === undefined ? undefined : this.entry(first).id
  }

  /** An entry may name what its bundle does not have; then it says nothing. */
  private isUnknown(at: number, entry: LogEntry): boolean {
    const { kind, body } = entry
    const step = this.judgement.stepOf[at]!
    if (STEP_KINDS.includes(kind) && step === null) return true
    if (kind === 'step.failed')
      return this.machine.steps[step!]!.fails.every((each) => each.id !== body['failure'])
    if (kind === 'condition.seen') return this.judgement.writes.settingsBy[at]!.length === 0
    if (kind === 'job.closed') return this.machine.ends.every((end) => end.id !== body['end'])
    return passedBy(entry).some((rule) => this.machine.rules.every((known) => known.id !== rule))
  }

  private flagsOfDone(done: Done, entry: string): Flag[] {
    const { step } = done
    const found: Flag[] = []
    if (!done.inOrder || done.early) found.push({ entry, code: 'out-of-order', step })
    for (const rule of done.broken) found.push({ entry, code: 'rule-broken', step, rule })
    for (const rule of done.asked) found.push({ entry, code: 'passed', step, rule })
    for (const [proof, entries] of done.named) {
      const { name } = proof
      if (entries.length === 0) found.push({ entry, code: 'proof-missing', step, name })
      else if (!this.judgement.evidence.fits(proof, entries, this.history.all)) {
        found.push({ entry, code: 'outside-limits', step, name })
      }
    }
    const other = this.other(done)
    if (other) found.push({ entry, code: 'concurrent', step, other })
    return found
  }

  /** Whether something was missing, in the eyes of the one who closed the job. */
  private isClosedEarly(at: number, { body }: LogEntry): boolean {
    const end = String(body['end'])
    if (this.machine.ends.every(({ id }) => id !== end)) return false
    const past = this.history.past[at]!
    const view = new View(this.judgement, past)
    const then = {
      conditions: view.conditions(),
      steps: this.machine.steps.map((_, s) => view.step(s)[0]),
      toolsOut: this.toolsOut(past),
      questions: this.questions(past),
    }
    return mayEnd(this.machine, then, end).length > 0
  }
}
