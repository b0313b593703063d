/**
 * Checking a bag without the workshop: what it proves, and what not. Twin of verify.py, check for check, but for what it
 * says itself that it leaves out (`unchecked`): account and page for people are not made anew, for the workshop's head is
 * over both; nor is the procedure's machine looked through. A later check goes on with what the ones before left standing.
 */
import { encodePadded, hex } from '../ledger/base64url'
import { openCheckpoint, type Checkpoint } from '../ledger/checkpoint'
import { verifyEntry, type Entry } from '../ledger/entry'
import { LedgerError } from '../ledger/errors'
import { leafOf } from '../ledger/record'
import { verifyInclusion } from '../ledger/tree'
import { readBundle } from '../procedure/bundle'
import { Roster } from '../sync/roster'
import { disclosureFindings } from './disclosed'
import { AGAIN, BagUnreadable, finding, type Finding } from './finding'
import { compare, isSameHead, KEPT, noPath, openedWithAnyKey, pathOfAnswer, sinceOf } from './growth'
import { hasHead, headFindings, missingHead, NOT_PROVEN } from './head'
import * as layout from './layout'
import { openedOf, parse, type Indexed, type Parsed } from './parse'
import { isText, manifestFindings, readBag, textOf, type Bag, type Progress } from './read'
import type { Source } from './zip'
import * as words from '../words/en/bag/verify'
import { t } from '../words/message'

const FORGED = t(words.notFromLedger, { again: AGAIN })

/** `findings` do not hold, `unshown` had to be shown and is not; names are those of the server's. */
export interface Verdict {
  readonly findings: readonly Finding[]
  readonly unshown: readonly Finding[]
  readonly unchecked: readonly string[]
  readonly proven: readonly string[]
  readonly unproven: readonly string[]
  readonly workshop: string
  readonly isTrusted: boolean
  readonly asOf: { readonly madeOn: string; readonly size: number } | null
  readonly job: string
}

/** What the reader has besides: the fingerprint from paper, a checkpoint that was kept, an answer of `/api/consistency`. */
export interface Held {
  readonly key?: string
  readonly kept?: string
  readonly consistency?: string
}

export const holds = ({ findings, unshown }: Verdict): boolean => findings.length + unshown.length === 0

export async function verifyBag(
  source: Source,
  held: Held = {},
  progress: Progress = () => undefined,
): Promise<Verdict> {
  try {
    const [bag, findings] = await readBag(source, progress)
    return await Check.of(bag, [...findings, ...manifestFindings(bag)], await parse(bag), held)
  } catch (error) {
    if (!(error instanceof BagUnreadable)) throw error
    return { ...NOTHING, findings: [finding(error.code, t(words.theFile), error.message, error.hint)] }
  }
}

const NOTHING: Verdict = {
  findings: [],
  unshown: [],
  unchecked: [],
  proven: [],
  unproven: [],
  workshop: '',
  isTrusted: false,
  asOf: null,
  job: '',
}

/** The short head of a ledger, as it stands on paper. */
export function headCode({ size, root }: Checkpoint): string {
  const text = encodePadded(root)
  return [size, text.slice(0, 4), text.slice(4, 8), text.slice(8, 12)].join(' ')
}

/** The roster that records make, in the order of the ledger; what is of another workshop says nothing. */
export async function rosterOf(workshop: string, records: readonly Indexed[]): Promise<Roster> {
  const roster = new Roster(workshop)
  for (const { index, record } of records)
    if (record.entry.workshop === workshop) await roster.apply(index, record.entry)
  return roster
}

class Check {
  readonly #unshown: Finding[] = []
  readonly #unchecked: string[] = []
  readonly #proven: string[] = []
  readonly #unproven: string[] = []
  readonly #forged = new Set<number>()
  #isTrusted = false

  private constructor(
    private readonly bag: Bag,
    private readonly findings: Finding[],
    private readonly parsed: Parsed,
    private readonly workshop: string,
    private readonly roster: Roster,
  ) {}

  static async of(bag: Bag, findings: Finding[], parsed: Parsed, held: Held): Promise<Verdict> {
    const opened = openedOf(parsed)
    const workshop = opened?.entry.workshop ?? ''
    const roster = await rosterOf(workshop, parsed.records)
    const check = new Check(bag, [...findings, ...parsed.findings], parsed, workshop, roster)
    return check.verdict(opened?.entry ?? null, held)
  }

  private async verdict(opened: Entry | null, held: Held): Promise<Verdict> {
    const { parsed } = this
    if (opened?.kind !== 'job.opened') {
      const what = t(words.jobNeverOpened, { job: `'${parsed.job}'` })
      this.take([finding('no-job', layout.RECORDS, what, AGAIN)], '')
      return this.said(null)
    }
    this.unread()
    this.take(await this.signatures(), this.signedBy())
    this.keys()
    if (held.key !== undefined)
      this.#isTrusted = this.take(this.fingerprint(held.key), t(words.workshopKnown))
    this.take(disclosureFindings(this.bag, parsed, this.roster), this.shown())
    const isKnown = this.bundle(opened.body.bundle)
    const head = await this.head()
    if (head === null) return this.said(null)
    this.take(
      await this.inclusion(head),
      t(words.recordsInLedger, { size: head.size, headCode: headCode(head) }),
    )
    await this.whole(head)
    await this.grown(head, held)
    if (isKnown) await this.described(head)
    return this.said(head)
  }

  /** Take in what a check found; where that is nothing, it has proven something. */
  private take(found: readonly Finding[], proven: string): boolean {
    this.findings.push(...found)
    if (found.length === 0) this.#proven.push(proven)
    return found.length === 0
  }

  private said(head: Checkpoint | null): Verdict {
    return {
      findings: this.findings,
      unshown: this.#unshown,
      unchecked: this.#unchecked,
      proven: this.#proven,
      unproven: this.#unproven,
      workshop: this.workshop,
      isTrusted: this.#isTrusted,
      asOf: head && { madeOn: this.parsed.madeOn, size: head.size },
      job: this.parsed.job,
    }
  }

  private unread(): void {
    const unread = this.parsed.records.filter(({ record }) => record.entry.kind === 'unread')
    if (unread.length > 0)
      this.#unchecked.push(t(words.unreadRecords, { unread: unread.map(({ index }) => index).join(', ') }))
  }

  // Keys and signatures.

  private async signatures(): Promise<Finding[]> {
    const found: Finding[] = []
    for (const { index, record } of this.parsed.records) {
      const odd = await this.forgery(record.entry)
      if (!odd) continue
      this.#forged.add(index)
      found.push(finding(odd.code, layout.RECORDS, t(words.record, { index, fact: odd.fact }), FORGED))
    }
    return found
  }

  private async forgery(entry: Entry): Promise<{ code: string; fact: string } | null> {
    const { workshop, device } = entry
    const key = this.roster.keyOf(entry)
    if (workshop !== this.workshop)
      return { code: 'foreign-record', fact: t(words.otherWorkshop, { workshop }) }
    if (key === null || !this.roster.cameIn(device))
      return { code: 'unknown-device', fact: t(words.deviceNotInvited, { device }) }
    if (!(await verifyEntry(entry, key)))
      return { code: 'wrong-signature', fact: t(words.deviceDidNotSign, { device }) }
    return null
  }

  private signedBy(): string {
    const { records } = this.parsed
    const devices = new Set(records.map(({ record }) => record.entry.device))
    return t(words.recordsSigned, { records: records.length, devices: devices.size, workshop: this.workshop })
  }

  private keys(): void {
    for (const { size, index } of this.roster.succession().recoveries)
      this.#proven.push(t(words.keyRecovered, { size, index }))
    this.#unproven.push(t(words.unprovenKey))
  }

  private fingerprint(key: string): Finding[] {
    const { workshop } = this
    if (key.replace(/\s/g, '') === workshop) return []
    return [finding('other-workshop', layout.RECORDS, t(words.otherFingerprint, { workshop, key }), FORGED)]
  }

  // Blobs and procedure.

  private shown(): string {
    const names = [...this.bag.digests.keys()].filter((name) => layout.blobOf(name) !== null)
    return t(words.blobsAsSigned, { signed: names.filter((name) => !name.startsWith(layout.COPIES)).length })
  }

  /** Whether the procedure is the one the job was opened with, and this program knows its form. */
  private bundle(signed: string): boolean {
    const found = this.bag.digests.get(layout.BUNDLE)
    if (found === undefined) return false // that it is missing has its finding already
    if (found !== signed) {
      this.take(
        [finding('other-bundle', layout.BUNDLE, t(words.otherProcedure, { found, signed }), FORGED)],
        '',
      )
      return false
    }
    try {
      if (readBundle(textOf(this.bag.texts.get(layout.BUNDLE))) === null) {
        this.#unchecked.push(t(words.newerProcedure))
        return false
      }
    } catch (error) {
      this.take([finding('bundle', layout.BUNDLE, (error as Error).message, AGAIN)], '')
      return false
    }
    this.#proven.push(t(words.procedureAsOpened))
    return true
  }

  // The ledger.

  private async head(): Promise<Checkpoint | null> {
    try {
      const key = this.roster.workshopKey
      if (key === null) throw new LedgerError('bad-checkpoint', t(words.noWorkshopKey), FORGED)
      return await openCheckpoint(this.parsed.checkpoint, key, this.workshop)
    } catch (error) {
      if (!(error instanceof LedgerError)) throw error
      this.take([finding('checkpoint', layout.CHECKPOINT, error.message, error.hint)], '')
      return null
    }
  }

  private async inclusion({ size, root }: Checkpoint): Promise<Finding[]> {
    const { paths, records } = this.parsed
    const found: Finding[] = []
    const odd = (code: string, file: string, what: string, hint: string) =>
      found.push(finding(code, file, what, hint))
    if (this.parsed.size !== size)
      odd('other-size', layout.PROOFS, t(words.pathsOfOtherSize, { here: this.parsed.size, size }), FORGED)
    for (const { index, record } of records) {
      const path = paths.get(index)
      if (!path) odd('no-path', layout.PROOFS, t(words.recordWithoutPath, { index }), AGAIN)
      else if (!(await verifyInclusion(await leafOf(record), index, size, path, root)))
        odd('not-included', layout.RECORDS, t(words.recordNotInLedger, { index }), FORGED)
    }
    const here = new Set(records.map(({ index }) => index))
    for (const index of [...paths.keys()].filter((one) => !here.has(one)).sort((a, b) => a - b))
      odd('no-record', layout.PROOFS, t(words.pathWithoutRecord, { index }), AGAIN)
    return found
  }

  private async whole(head: Checkpoint): Promise<void> {
    if (hasHead(this.bag)) {
      const { madeOn } = this.parsed
      const key = this.roster.workshopKey ?? ''
      const found = await headFindings(this.bag, this.parsed, head, key, this.workshop)
      this.take(found, t(words.asOf, { madeOn, size: head.size, nothingLeftOut: t(words.nothingLeftOut) }))
    } else if (this.roster.editionAt(head.size - 1) > 1) this.findings.push(missingHead())
    else this.#unshown.push(NOT_PROVEN)
  }

  private async grown(head: Checkpoint, { kept, consistency }: Held): Promise<void> {
    const since = await sinceOf(this.bag, this.roster, this.workshop, head)
    this.findings.push(...since.findings)
    if (since.checkpoint && since.findings.length === 0) this.#proven.push(grew(since.checkpoint, head))
    if (kept === undefined) return
    const held = await openedWithAnyKey(kept, this.roster, this.workshop)
    if (held === null) {
      this.findings.push(finding('kept-checkpoint', KEPT, t(words.notSigned), t(words.notSignedHint)))
      return
    }
    const ofBag = since.checkpoint && isSameHead(held, since.checkpoint) ? since.path : null
    const path = consistency === undefined ? ofBag : pathOfAnswer(consistency)
    if (consistency !== undefined && path === null) {
      this.findings.push(noPath())
      return
    }
    const differs = await compare(held, head, path)
    if (differs === null) this.#proven.push(grew(held, head))
    else (differs.code === 'growth-not-proven' ? this.#unshown : this.findings).push(differs)
  }

  /** What the bag says of itself; and what is not made anew here. */
  private async described({ size, root }: Checkpoint): Promise<void> {
    const whole = this.parsed.records.filter(({ index }) => !this.#forged.has(index))
    const { job } = this.parsed
    if (!whole.some(({ record: { entry } }) => entry.job === job && entry.kind === 'job.opened')) return
    this.#unchecked.push(t(words.accountNotMade))
    const payload = layout.inPayload(this.bag.digests)
    const bytes = [...payload.keys()].reduce((sum, name) => sum + this.bag.members.get(name)!.size, 0)
    const info = layout.bagInfo({
      job,
      workshopName: (await rosterOf(this.workshop, whole)).workshopName,
      madeOn: this.parsed.madeOn,
      oxum: [bytes, payload.size],
      head: `${size} ${hex(root)}`,
    })
    const text = this.bag.texts.get(layout.BAG_INFO)
    const isRight = text === undefined || isText(text, info)
    const odd = finding('bag-info', layout.BAG_INFO, t(words.descriptionWrong), AGAIN)
    this.take(isRight ? [] : [odd], t(words.descriptionRight))
  }
}

function grew(one: Checkpoint, other: Checkpoint): string {
  if (one.size === other.size) return t(words.sameLedger)
  const [old, now] = one.size < other.size ? [one, other] : [other, one]
  return t(words.grewOutOf, { size: now.size, code: headCode(old) })
}
