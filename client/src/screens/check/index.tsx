/** Checking a bag in the browser, without the workshop: a file in, what holds of it out. */
import { useId, useState } from 'preact/hooks'
import { allHold, isMany, verifyMany, type ManyVerdict } from '../../bag/many'
import type { Drawn } from '../../bag/sheet'
import { holds, verifyBag, type Held, type Verdict } from '../../bag/verify'
import type { Source } from '../../bag/zip'
import * as words from '../../words/en/check/index'
import { t } from '../../words/message'
import { BagVerdict, Findings } from './verdict'

type Judged =
  | { at: 'nothing' }
  | { at: 'checking'; percent: number }
  | { at: 'trouble'; fact: string }
  | { at: 'one'; verdict: Verdict }
  | { at: 'many'; verdict: ManyVerdict; hasKept: boolean }

const sourceOf = (file: File): Source => ({
  size: file.size,
  read: async (start, end) => new Uint8Array(await file.slice(start, Math.max(start, end)).arrayBuffer()),
})

/** Whether this browser knows the signatures: an old one does not, and no verdict may come of that. */
async function canVerify(): Promise<boolean> {
  try {
    await crypto.subtle.importKey('raw', new Uint8Array(32), 'Ed25519', false, ['verify'])
    return true
  } catch {
    return false
  }
}

async function judge(file: File, held: Held, tell: (judged: Judged) => void): Promise<void> {
  if (!(await canVerify())) return tell({ at: 'trouble', fact: t(words.cannotCheck) })
  const source = sourceOf(file)
  const progress = (done: number, of: number) =>
    tell({ at: 'checking', percent: of === 0 ? 100 : Math.floor((100 * done) / of) })
  try {
    if (await isMany(source)) {
      const { key, kept, consistency } = held
      const verdict = await verifyMany(source, key === undefined ? {} : { key }, progress)
      tell({ at: 'many', verdict, hasKept: kept !== undefined || consistency !== undefined })
    } else tell({ at: 'one', verdict: await verifyBag(source, held, progress) })
  } catch (error) {
    tell({ at: 'trouble', fact: t(words.cannotRead, { error: (error as Error).message }) })
  }
}

export function Check() {
  const [judged, setJudged] = useState<Judged>({ at: 'nothing' })
  return (
    <main>
      <h1>{t(words.title)}</h1>
      <p>{t(words.nothingLeaves)}</p>
      {location.protocol !== 'file:' && (
        <p>
          <a href="check.html" download="check-an-evidence-bag.html">
            {t(words.saveThisPage)}
          </a>
        </p>
      )}
      <Asked isBusy={judged.at === 'checking'} check={(file, held) => void judge(file, held, setJudged)} />
      <div role="status">
        {judged.at === 'checking' && <p>{t(words.checking, { percent: judged.percent })}</p>}
        {judged.at === 'trouble' && <p class="odd">{judged.fact}</p>}
      </div>
      {judged.at === 'one' && <One verdict={judged.verdict} />}
      {judged.at === 'many' && <Many verdict={judged.verdict} />}
      {judged.at === 'many' && judged.hasKept && <p>{t(words.keptGoesWithOne)}</p>}
      <Less />
    </main>
  )
}

function Asked({ isBusy, check }: { isBusy: boolean; check: (file: File, held: Held) => void }) {
  const [file, setFile] = useState<File | null>(null)
  const [typed, setTyped] = useState({ key: '', kept: '', consistency: '' })
  const [lacks, setLacks] = useState(false)
  const id = useId()
  const field = (name: keyof typeof typed, label: string, hint: string | null, rows: number) => (
    <div class="field">
      <label for={`${id}-${name}`}>{label}</label>
      {hint !== null && (
        <p id={`${id}-${name}-hint`} class="small">
          {hint}
        </p>
      )}
      <textarea
        id={`${id}-${name}`}
        aria-describedby={`${id}-${name}-hint`}
        rows={rows}
        value={typed[name]}
        spellcheck={false}
        autocomplete="off"
        onInput={(event) => setTyped({ ...typed, [name]: event.currentTarget.value })}
      />
    </div>
  )
  return (
    <form
      onSubmit={(event) => {
        event.preventDefault()
        setLacks(file === null)
        if (file) check(file, heldOf(typed))
      }}
    >
      <div class="field">
        <label for={`${id}-file`}>{t(words.chooseFile)}</label>
        <input
          id={`${id}-file`}
          type="file"
          accept=".zip,application/zip"
          onChange={(event) => setFile(event.currentTarget.files?.[0] ?? null)}
        />
      </div>
      {field('key', t(words.fingerprint), t(words.fingerprintHint), 1)}
      <details>
        <summary>{t(words.keptBefore)}</summary>
        {field('kept', t(words.checkpoint), null, 5)}
        {field('consistency', t(words.consistency), t(words.consistencyHint), 3)}
      </details>
      <p>
        <button type="submit" disabled={isBusy}>
          {t(words.check)}
        </button>
      </p>
      <p role="alert">{lacks && file === null ? t(words.chooseFirst) : ''}</p>
    </form>
  )
}

/** What is empty was not given. A checkpoint ends with a line feed, which a field may have lost. */
function heldOf({ key, kept, consistency }: Record<'key' | 'kept' | 'consistency', string>): Held {
  const lines = kept.replaceAll('\r', '').trim()
  return {
    ...(key.trim() === '' ? {} : { key }),
    ...(lines === '' ? {} : { kept: `${lines}\n` }),
    ...(consistency.trim() === '' ? {} : { consistency }),
  }
}

function One({ verdict }: { verdict: Verdict }) {
  return (
    <section>
      <h2 class={holds(verdict) ? '' : 'odd'}>{headline(verdict)}</h2>
      <BagVerdict verdict={verdict} />
    </section>
  )
}

function headline(verdict: Verdict): string {
  if (holds(verdict)) return t(words.holds)
  if (verdict.findings.length > 0) return t(words.holdsNot, { count: verdict.findings.length })
  return t(words.notShown)
}

function Many({ verdict }: { verdict: ManyVerdict }) {
  const { bags, drawn, findings } = verdict
  const whole = bags.filter((one) => holds(one.verdict)).length
  const isSheet = bags.length === 0 && drawn !== null
  return (
    <section>
      <h2 class={allHold(verdict) ? '' : 'odd'}>
        {isSheet ? t(words.sheetHolds) : t(words.bagsHold, { whole, bags: bags.length })}
      </h2>
      <Findings findings={findings} />
      {drawn ? <Sample drawn={drawn} /> : <p>{t(words.choiceNotProven)}</p>}
      {bags.map((one) => (
        <details key={one.name}>
          <summary class={holds(one.verdict) ? '' : 'odd'}>
            {one.name}: {headline(one.verdict)}
          </summary>
          <BagVerdict verdict={one.verdict} />
        </details>
      ))}
    </section>
  )
}

function Sample({ drawn: { frozen, said, jobs } }: { drawn: Drawn }) {
  return (
    <>
      <h3>{t(words.sample)}</h3>
      <p>
        {t(words.sampleDrawn, {
          jobs: jobs.length,
          population: frozen.entry.body.jobs.length,
          word: said.entry.body.word,
          drawnAt: said.index,
          frozenAt: frozen.index,
          size: frozen.entry.body.size,
        })}
      </p>
      <ol>
        {jobs.map((job) => (
          <li key={job} class="code">
            {job}
          </li>
        ))}
      </ol>
    </>
  )
}

function Less() {
  const all = [
    t(words.lessAccount),
    t(words.lessState),
    t(words.lessMachine),
    t(words.lessPhotos),
    t(words.lessPacking),
  ]
  return (
    <section class="less">
      <h2>{t(words.lessTitle)}</h2>
      <p>{t(words.lessWhat)}</p>
      <ul>
        {all.map((one) => (
          <li key={one}>{one}</li>
        ))}
      </ul>
    </section>
  )
}
