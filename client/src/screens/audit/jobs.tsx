/** All jobs in a list, looked through by what they have in common; such a list is frozen for a sample. */
import { useId } from 'preact/hooks'
import type { ListedAnswer, ListedRow, PopulationAnswer } from '../../ledger/answers'
import { NOTHING_WANTED, wantedOf, type Wanted, type WantedDraft } from '../../work/audits'
import { isoDay, timeWords } from '../../work/format'
import { factOf } from '../../work/sentences'
import { SEVERITY } from '../../work/severity'
import { peopleOf, proceduresOf, toolsOf } from '../../work/statements'
import { engineWords, plateWords } from '../../work/vehicle-words'
import { Choose } from '../office/choose'
import { Older } from '../office/job-lines'
import { useList } from '../office/from-server'
import { useStatements } from '../office/from-store'
import { useKept } from '../office/kept'
import { goTo } from '../office/nav'
import { PageHead, TroubleLine } from '../office/shell'
import { useKeeping } from '../keeping'
import { namesWords, usePeople } from '../names'
import { jobHref } from '../record/links'
import type { Rooms } from '../rooms'
import { mayWrite } from './findings'
import { TextKey } from '../text-key'
import * as words from '../../words/en/audit/jobs'
import { t } from '../../words/message'

export function Jobs(rooms: Rooms) {
  const [draft, set] = useKept<WantedDraft>('audit/jobs', NOTHING_WANTED)
  const wanted = wantedOf(draft)
  const { answer, older } = useList<ListedAnswer>(rooms, '/api/audit/jobs', { ...wanted })
  const rows = answer?.ok ? answer.value.jobs : []
  return (
    <>
      <PageHead>{t(words.title)}</PageHead>
      <Fields {...rooms} draft={draft} set={set} />
      <TroubleLine trouble={answer && !answer.ok ? answer.trouble : null} />
      <p role="status" class="d-text">
        {answer === null ? t(words.looking) : answer.ok ? countWords(rows.length, older !== null) : ''}
      </p>
      <Rows rows={rows} />
      <Older older={older} label={t(words.older)} />
      {rows.length > 0 && <Freeze {...rooms} wanted={wanted} />}
    </>
  )
}

function countWords(n: number, hasMore: boolean): string {
  if (n === 0) return t(words.noJobs)
  return hasMore ? t(words.shown, { n }) : t(words.allShown, { n })
}

function Fields({ draft, set, ...rooms }: Rooms & { draft: WantedDraft; set: (draft: WantedDraft) => void }) {
  const statements = useStatements(rooms) ?? []
  const people = usePeople(rooms)
  const put = (name: keyof WantedDraft) => (value: string) => set({ ...draft, [name]: value })
  const any = { value: '', words: t(words.any) }
  const workers = peopleOf(statements, '').filter(({ role }) => role !== 'auditor')
  const procedures = proceduresOf(statements)
  const codes = [...new Set(procedures.flatMap(({ engineCodes }) => engineCodes))].sort()
  const subject = t(words.aJob)
  const choose = (
    name: keyof WantedDraft,
    label: string,
    options: readonly { value: string; words: string }[],
  ) => <Choose label={label} value={draft[name]} onValue={put(name)} options={[any, ...options]} />
  return (
    <div class="audit-fields">
      <Input label={t(words.fromDay)} isDay value={draft.from} onValue={put('from')} />
      <Input label={t(words.toDay)} isDay value={draft.to} onValue={put('to')} />
      {choose(
        'person',
        t(words.mechanic),
        workers.map(({ person }) => ({ value: person, words: namesWords([person], people) })),
      )}
      {choose(
        'bundle',
        t(words.edition),
        procedures.map(({ bundle, name, edition }) => ({
          value: bundle,
          words: t(words.editionOf, { name, edition }),
        })),
      )}
      {choose(
        'engine',
        t(words.engineCode),
        codes.map((code) => ({ value: code, words: code })),
      )}
      {choose(
        'exception',
        t(words.exception),
        SEVERITY.map((code) => ({ value: code, words: factOf(code, subject) })),
      )}
      {choose(
        'tool',
        t(words.tool),
        toolsOf(statements, isoDay(new Date())).map(({ tool, label }) => ({
          value: tool,
          words: `${tool}, ${label}`,
        })),
      )}
      <Input label={t(words.lot)} value={draft.lot} onValue={put('lot')} />
      <Input label={t(words.begins)} value={draft.text} onValue={put('text')} />
      <p>
        <TextKey says={t(words.clear)} onPress={() => set(NOTHING_WANTED)} />
      </p>
    </div>
  )
}

interface InputProps {
  label: string
  isDay?: boolean
  value: string
  onValue: (value: string) => void
}

/** Taken when it is left: each letter would ask the workshop. */
function Input({ label, isDay = false, value, onValue }: InputProps) {
  const id = useId()
  const take = (event: { currentTarget: HTMLInputElement }) => onValue(event.currentTarget.value)
  return (
    <div class="desk-field">
      <label for={id}>{label}</label>
      {isDay ? (
        <input id={id} type="date" value={value} onChange={take} />
      ) : (
        <input id={id} type="text" value={value} maxLength={64} autocomplete="off" onChange={take} />
      )}
    </div>
  )
}

function Rows({ rows }: { rows: readonly ListedRow[] }) {
  return (
    <ul class="found">
      {rows.map((row) => (
        <li key={row.job}>
          <a class="found-row" href={jobHref(row.job)}>
            <strong>{plateWords(row.plate)}</strong>
            <span>{engineWords(row.engine_code, row.odometer_km, row.odometer_unit)}</span>
            <span>
              {t(words.cameIn, { at: timeWords(row.first_received) })},{' '}
              {t(words.state, { state: row.state ?? '' })}
            </span>
            <span class={row.exceptions ? 'act-words' : ''}>
              {row.worst === null
                ? ''
                : `${factOf(row.worst, t(words.aJob))}; ${t(words.things, { n: row.exceptions ?? 0 })}`}
            </span>
          </a>
        </li>
      ))}
    </ul>
  )
}

/** States the list under the auditor's key, with the head of the ledger that has it. */
function Freeze({ wanted, ...rooms }: Rooms & { wanted: Wanted }) {
  const { isBusy, trouble, keep, refuse } = useKeeping()
  if (!mayWrite(rooms)) return <p class="d-text">{t(words.frozenElsewhere)}</p>
  const { text, ...filter } = wanted
  if (text !== undefined) return <p class="d-text">{t(words.notByText)}</p>
  const freeze = async () => {
    const answer = await rooms.sync.ask<PopulationAnswer>('/api/audit/population', filter)
    if (!answer.ok) return refuse(answer.trouble)
    let id = ''
    await rooms.store.write(null, async (w) => {
      id = await w.entry('audit.frozen', { ...answer.value, filter })
    })
    goTo('audit', 'samples', id)
    void rooms.sync.now()
  }
  return (
    <section>
      <p class="d-text">{t(words.freezeMeans)}</p>
      <button
        type="button"
        class="text-key text-key-main under-list"
        disabled={isBusy}
        onClick={() => void keep(freeze)}
      >
        {t(words.freeze)}
      </button>
      <TroubleLine trouble={trouble} />
    </section>
  )
}
