/** Several bags in one file, each judged where it lies. Twin of many.py. */
import { canonical, readCanonicalBytes, type Json } from '../ledger/canonical'
import { forms, isFormed } from '../ledger/forms'
import { byText } from '../procedure/log'
import { AGAIN, BagUnreadable, finding, type Finding } from './finding'
import { bytesOf, digestOf, isText, type Progress } from './read'
import { judgeSheet, SHEET, type Drawn } from './sheet'
import { holds, verifyBag, type Held, type Verdict } from './verify'
import { isStored, membersOf, partOf, type Member, type Source } from './zip'
import * as words from '../words/en/bag/many'
import { t } from '../words/message'

const LIST = 'bags.json'
const ENDING = '.zip'

interface Listed {
  readonly job: string
  readonly name: string
  readonly sha256: string
}

export interface ManyVerdict {
  readonly findings: readonly Finding[]
  readonly bags: readonly { readonly name: string; readonly verdict: Verdict }[]
  readonly workshop: string
  readonly drawn: Drawn | null
}

export const allHold = ({ findings, bags }: ManyVerdict): boolean =>
  findings.length === 0 && bags.every(({ verdict }) => holds(verdict))

/** Whether a file is one of several bags, as far as its list of files tells. */
export async function isMany(source: Source): Promise<boolean> {
  try {
    return (await membersOf(source, () => true)).has(LIST)
  } catch (error) {
    if (!(error instanceof BagUnreadable)) throw error
    return false // it is judged as a bag, and refused
  }
}

export async function verifyMany(
  source: Source,
  held: Pick<Held, 'key'> = {},
  progress: Progress = () => undefined,
): Promise<ManyVerdict> {
  try {
    const members = await membersOf(source, (name) => name.endsWith(ENDING))
    return await new Many(source, members).verdict(held, progress)
  } catch (error) {
    if (!(error instanceof BagUnreadable)) throw error
    const odd = finding(error.code, t(words.theFile), error.message, error.hint)
    return { findings: [odd], bags: [], workshop: '', drawn: null }
  }
}

class Many {
  readonly #findings: Finding[] = []

  constructor(
    private readonly source: Source,
    private readonly members: ReadonlyMap<string, Member>,
  ) {}

  async verdict(held: Pick<Held, 'key'>, progress: Progress): Promise<ManyVerdict> {
    const listed = await this.listed()
    const known = new Set([...listed.map(({ name }) => name), LIST, ...SHEET])
    for (const name of [...this.members.keys()].filter((one) => !known.has(one)).sort(byText))
      this.find('unexpected-file', name, t(words.unexpectedFile))
    const bags: { name: string; verdict: Verdict }[] = []
    for (const [at, one] of listed.entries()) {
      const verdict = await this.bag(one, held)
      if (verdict) bags.push({ name: one.name, verdict })
      progress(at + 1, listed.length)
    }
    const workshops = new Set(bags.map(({ verdict }) => verdict.workshop).filter((one) => one !== ''))
    const drawn = await this.sample(listed, workshops, held.key)
    if (workshops.size > 1)
      this.find('several-workshops', LIST, t(words.severalWorkshops, { n: workshops.size }))
    return { findings: this.#findings, bags, workshop: [...workshops].sort(byText)[0] ?? '', drawn }
  }

  private find(code: string, file: string, what: string, hint: string = AGAIN): void {
    this.#findings.push(finding(code, file, what, hint))
  }

  private async listed(): Promise<readonly Listed[]> {
    try {
      const member = this.members.get(LIST)
      if (!member) throw new Error(t(words.malformedList))
      const text = await bytesOf(this.source, member)
      const said = listOf(readCanonicalBytes(text))
      if (!said || !isText(text, listJson(said))) throw new Error(t(words.malformedList))
      return said
    } catch (error) {
      this.find('bags', LIST, t(words.unreadable, { error: (error as Error).message }))
      return []
    }
  }

  private async bag({ name, sha256, job }: Listed, held: Pick<Held, 'key'>): Promise<Verdict | null> {
    const member = this.members.get(name)
    if (!member) {
      this.find('missing', name, t(words.bagMissing))
      return null
    }
    if (!isStored(member)) {
      this.find('unreadable', name, t(words.packedTwice))
      return null
    }
    const found = await digestOf(this.source, member, false).then(
      ({ digest }) => digest,
      (error: Error) => error.message,
    )
    if (found !== sha256) this.find('changed', name, t(words.otherHash, { found }))
    const verdict = await verifyBag(await partOf(this.source, member), held)
    if (verdict.job !== '' && verdict.job !== job)
      this.find('other-job', name, t(words.otherJob, { job: verdict.job }))
    return verdict
  }

  private async sample(
    listed: readonly Listed[],
    workshops: ReadonlySet<string>,
    key: string | undefined,
  ): Promise<Drawn | null> {
    const files = new Map<string, Uint8Array<ArrayBuffer>>()
    for (const name of SHEET) {
      const member = this.members.get(name)
      if (member) files.set(name, await bytesOf(this.source, member))
    }
    if (files.size === 0) return null
    const { drawn, workshop, findings } = await judgeSheet(files)
    this.#findings.push(...findings)
    if (
      [...workshops, ...(key === undefined ? [] : [key.replace(/\s/g, '')])].some((one) => one !== workshop)
    )
      this.find('other-workshop', SHEET[0]!, t(words.sheetOfAnother))
    if (drawn) this.asDrawn(drawn, listed)
    return drawn
  }

  /** The bags of a sample against what was drawn; a sheet alone is as good. */
  private asDrawn({ jobs }: Drawn, listed: readonly Listed[]): void {
    const here = new Set(listed.map(({ job }) => job))
    if (here.size === 0) return
    for (const job of jobs)
      if (!here.has(job)) this.find('drawn-missing', LIST, t(words.drawnMissing, { job }))
    for (const { job, name } of listed)
      if (!jobs.includes(job)) this.find('not-drawn', name, t(words.notDrawn, { job }))
  }
}

function listOf(said: Json): readonly Listed[] | null {
  const bags = (said as { bags?: unknown } | null)?.bags
  if (!Array.isArray(bags) || !bags.every(isListed)) return null
  return new Set(bags.map(({ name }) => name)).size === bags.length ? bags : null
}

function isListed(one: unknown): one is Listed {
  const { job, name, sha256 } = (one ?? {}) as Partial<Listed>
  return (
    isFormed(job, forms.uuid7) &&
    isFormed(sha256, forms.sha256) &&
    typeof name === 'string' &&
    name.endsWith(ENDING) &&
    !name.includes('/')
  )
}

const listJson = (bags: readonly Listed[]): string =>
  canonical({
    v: 1,
    bags: [...bags]
      .sort((a, b) => byText(a.name, b.name))
      .map(({ job, name, sha256 }) => ({ job, name, sha256 })),
  })
