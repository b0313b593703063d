/** The bench: one draft of a procedure, written as text or by its form, with the phone's screen beside it. */
import { useMemo, useState } from 'preact/hooks'
import type { FindingAnswer } from '../../ledger/answers'
import { readBundle } from '../../procedure/bundle'
import { saveFile } from '../save-file'
import type { Rooms } from '../rooms'
import { PageHead, TroubleLine } from '../office/shell'
import { DriveView } from './drive-view'
import { Editor } from './editor'
import { Findings } from './findings'
import { FormView } from './form-view'
import { Phone } from './phone'
import { Pictures, readerOf } from './pictures'
import { Play } from './play'
import { Publish } from './publish'
import { stepAt } from './source'
import { useDraft, type Drafting } from './use-draft'
import type { DraftNow } from './written-draft'
import './bench.css'
import { TextKey } from '../text-key'
import * as words from '../../words/en/bench/index'
import { namesOf, t } from '../../words/message'

const VIEWS = namesOf(words.tabs)
type View = (typeof VIEWS)[number]['id']

export function Bench({ name, ...rooms }: Rooms & { name: string }) {
  const drafting = useDraft(rooms, name)
  if (drafting === null) return <p role="status">{t(words.reading)}</p>
  if (drafting.now.version === '') return <TroubleLine trouble={drafting.now.trouble} />
  return <Opened {...rooms} name={name} drafting={drafting} />
}

interface OpenedProps extends Rooms {
  name: string
  drafting: Drafting
}

function Opened({ name, drafting, ...rooms }: OpenedProps) {
  const { draft, now } = drafting
  const write = (text: string) => draft.write(text)
  const readPicture = readerOf(rooms, name)
  const [view, setView] = useState<View>('text')
  const [line, setLine] = useState(1)
  const [shown, setShown] = useState<{ line: number } | null>(null)
  /** The step that a view other than the text is about; null: that of the cursor. */
  const [named, setNamed] = useState<string | null>(null)
  const [played, play] = useState<FindingAnswer | null>(null)
  const { report } = now
  const bundle = useMemo(() => (report?.bundle ? readBundle(report.bundle) : null), [report?.bundle])
  const open = (to: View) => {
    setView(to)
    if (to === 'text') setNamed(null)
  }
  const goTo = (to: number) => {
    open('text')
    setShown({ line: to })
  }
  const step = named ?? stepAt(now.text, line)
  const isPlayed = played !== null && report?.findings.includes(played)
  return (
    <>
      <PageHead>{name}</PageHead>
      <State {...rooms} name={name} drafting={drafting} />
      <nav aria-label={t(words.views)}>
        <ul class="bench-views">
          {VIEWS.map(({ id, name: says }) => (
            <li key={id}>
              <button type="button" class="text-key" aria-pressed={id === view} onClick={() => open(id)}>
                {says}
              </button>
            </li>
          ))}
        </ul>
      </nav>
      <div class="bench">
        <div class="bench-main">
          {/* It stays, hidden, so that what can be undone can still be undone after a look at another view. */}
          <div hidden={view !== 'text'}>
            <Editor
              text={now.text}
              findings={report?.findings ?? []}
              shown={shown}
              onText={write}
              onLine={setLine}
            />
          </div>
          {view === 'form' && (
            <FormView
              rooms={rooms}
              text={now.text}
              bundle={bundle}
              step={step}
              pictures={now.pictures}
              readPicture={readPicture}
              write={write}
              show={(to, name) => {
                setNamed(name)
                setShown({ line: to })
              }}
            />
          )}
          {view === 'drive' && <DriveView rooms={rooms} text={now.text} write={write} />}
          {view === 'pictures' && <Pictures {...rooms} name={name} draft={draft} now={now} />}
          {view === 'publish' && <Publish {...rooms} name={name} now={now} />}
          {report && view !== 'publish' && (
            <Findings
              findings={report.findings}
              notes={report.notes}
              choose={(finding) => goTo(finding.line ?? 1)}
              play={play}
            />
          )}
        </div>
        <aside class="bench-aside">
          {bundle === null && <p class="d-text">{t(words.noScreenYet)}</p>}
          {bundle && isPlayed && (
            <Play
              key={report?.findings.indexOf(played)}
              bundle={bundle}
              finding={played}
              leave={() => play(null)}
            />
          )}
          {bundle && !isPlayed && <Phone bundle={bundle} step={step} readPicture={readPicture} />}
        </aside>
      </div>
    </>
  )
}

/** Where the draft is, what the check says, and what can be done with the whole of it. */
function State({ name, drafting, ...rooms }: OpenedProps) {
  const { draft, now, readAgain } = drafting
  const { report, checking, trouble, isKept } = now
  const [copied, setCopied] = useState<string | null>(null)
  const isOther = trouble?.code === 'draft-changed'
  const exported = async () => {
    const answer = await rooms.sync.askBytes(`/api/drafts/${name}/zip`)
    if (answer.ok) saveFile(answer.value, `${name}.zip`)
  }
  const keepCopy = async () => {
    const other = `${name.slice(0, 30)}-${Date.now().toString(36)}`
    if (await draft.keepAs(other)) setCopied(other)
  }
  return (
    <div class="bench-state">
      <p role="status">
        {isKept ? t(words.kept) : t(words.notKept)} {checkWords(checking, report)}
      </p>
      <p class="step-acts">
        {checking === null ? (
          <TextKey says={t(words.check)} onPress={() => void draft.check()} />
        ) : (
          <TextKey says={t(words.stop)} onPress={() => void draft.stop()} />
        )}
        <TextKey says={t(words.exportIt)} onPress={() => void exported()} />
      </p>
      <TroubleLine trouble={trouble} />
      {isOther && (
        <p class="step-acts">
          <TextKey says={t(words.keepMine)} onPress={() => void keepCopy()} />
          <TextKey says={t(words.readTheirs)} onPress={readAgain} />
        </p>
      )}
      {copied !== null && (
        <p role="status">
          {t(words.copiedAs)} <a href={`#/desk/procedures/${copied}`}>{copied}</a>
        </p>
      )}
    </div>
  )
}

function checkWords(checking: number | null, report: DraftNow['report']): string {
  if (checking !== null) return t(words.checking, { states: checking })
  if (report === null) return t(words.unchecked)
  if (report.findings.length > 0) return t(words.found, { n: report.findings.length })
  return t(words.proved, { states: report.states, rules: report.rules_proven })
}
