/**
 * Which entries prove a step: of the right kind, in its limits however they were corrected, and taken after everything
 * that could have spoilt them.
 */
import { add, type Bits, has, meet, meet3, meetBut, noBits } from './bits'
import { within } from './decimals'
import type { History, LogEntry } from './log'
import type { MachineProof, ProofKind, Step } from './machine'

const READING = ['reading.taken']
/** Which entries give a proof of each kind. */
export const KINDS: Readonly<Record<ProofKind, readonly string[]>> = {
  confirm: [],
  reading: READING,
  count: READING,
  wait: READING,
  choice: READING,
  scan: ['part.fitted', 'reading.taken'],
  photo: ['photo.taken'],
  signature: ['note.added'],
}
const MEASURED: readonly ProofKind[] = ['reading', 'count', 'wait']

/** For each proof of a done step, the entries it names that are of the right sort and fresh. */
export type Named = readonly (readonly [MachineProof, readonly number[]])[]

/** The proof entries of a log and their corrections. */
export class Evidence {
  private readonly corrections = new Map<number, number[]>()
  private readonly goodCorrections = new Map<number, Bits>()

  constructor(private readonly history: History) {
    history.entries.forEach((entry, at) => {
      const reading = this.corrected(entry)
      if (reading === null) return
      this.corrections.set(reading, [...(this.corrections.get(reading) ?? []), at])
      const good = this.goodCorrections.get(reading) ?? noBits(history.entries.length)
      if (entry.standing === 'good') add(good, at)
      this.goodCorrections.set(reading, good)
    })
  }

  /** The reading that is corrected; a correction of a correction is one of it, too. */
  private corrected(entry: LogEntry): number | null {
    const met = new Set([entry.id]) // `of` is only text, and might lead round in a circle
    while (entry.kind === 'reading.corrected') {
      const at = this.history.index.get(String(entry.body['of']))
      if (at === undefined || met.has(this.history.entries[at]!.id)) return null
      entry = this.history.entries[at]!
      met.add(entry.id)
      if (entry.kind === 'reading.taken') return at
    }
    return null
  }

  /**
   * For each proof the entries that a done step names for it.
   * @param spoilers the entries after which a proof of this step must be taken anew
   */
  named(done: number, step: Step, spoilers: Bits): Named {
    const { index, entries, past } = this.history
    const fresh = ((entries[done]!.body['proof'] ?? []) as string[]).flatMap((id) => {
      const at = index.get(id)
      const counts =
        at !== undefined &&
        has(past[done]!, at) &&
        entries[at]!.standing === 'good' &&
        !meetBut(spoilers, past[done]!, past[at]!)
      return counts ? [at] : []
    })
    return step.proof
      .filter(({ kind }) => kind !== 'confirm')
      .map((proof) => [proof, fresh.filter((at) => isFor(proof, step, entries[at]!))])
  }

  /** Whether nothing that is named was ever corrected. */
  isPlain(named: Named): boolean {
    return named.every(([, entries]) => entries.every((at) => !this.corrections.has(at)))
  }

  /** Whether every proof has an entry that fits, as corrected by these entries. */
  holds(named: Named, among: Bits): boolean {
    return named.every(([proof, entries]) => this.fits(proof, entries, among))
  }

  /** Whether one of the entries named is inside the limits, whatever was corrected. */
  fits(proof: MachineProof, entries: readonly number[], among: Bits): boolean {
    return entries.some(
      (at) =>
        this.history.entries[at]!.kind !== 'reading.taken' ||
        this.values(at, among).every((value) => fits(proof, value)),
    )
  }

  /** What a reading may be: corrections set, and if not of good standing, add. */
  private values(reading: number, among: Bits): unknown[] {
    const good = this.goodCorrections.get(reading)
    const live = good && meet(good, among) ? [] : [reading]
    for (const at of this.corrections.get(reading) ?? []) {
      if (has(among, at) && !meet3(good!, among, this.history.future[at]!)) live.push(at)
    }
    return live.map((at) => this.history.entries[at]!.body['value'])
  }
}

const isFor = (proof: MachineProof, step: Step, { kind, body }: LogEntry): boolean =>
  KINDS[proof.kind].includes(kind) && body['step'] === step.id && body['name'] === proof.name

function fits(proof: MachineProof, value: unknown): boolean {
  if (proof.ok !== undefined) return proof.ok.includes(value as string)
  return !MEASURED.includes(proof.kind) || within(value, proof.low, proof.high)
}
