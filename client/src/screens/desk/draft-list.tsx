/** The procedures that are being written: one is opened at the bench, begun, copied or brought in from a ZIP file. */
import { useState } from 'preact/hooks'
import type { DraftRow, DraftsAnswer, VersionAnswer } from '../../ledger/answers'
import type { Trouble } from '../../store'
import { timeWords } from '../../work/format'
import { goTo } from '../office/nav'
import { useAsked } from '../office/from-server'
import { TroubleLine } from '../office/shell'
import type { Rooms } from '../rooms'
import { FormKey } from '../office/form-key'
import { DeskForm, Field } from './form'
import { Choose } from '../office/choose'
import { asBegun, Measured, measuredFaults, nothingMeasured, type MeasuredDrive } from './measured'
import * as says from '../../words/en/desk/draft-list'
import { t } from '../../words/message'

const NAME = /^[a-z][a-z0-9-]{0,39}$/
const AS_NEW = { 'If-None-Match': '*' }
const NOTHING = ''
const MEASURED = '(measured)' // no name of a draft

export function DraftList(rooms: Rooms) {
  const answer = useAsked<DraftsAnswer>(rooms, '/api/drafts')
  const drafts = answer?.ok ? answer.value.drafts : []
  return (
    <section>
      <h2 class="phase-head">{t(says.drafts)}</h2>
      <TroubleLine trouble={answer && !answer.ok ? answer.trouble : null} />
      {answer?.ok && drafts.length === 0 && <p class="d-text">{t(says.none)}</p>}
      <ul class="found">
        {drafts.map((row) => (
          <li key={row.draft}>
            <a class="found-row" href={`#/desk/procedures/${row.draft}`}>
              <strong>{row.draft}</strong>
              <span>{t(says.changed, { at: timeWords(row.changed) })}</span>
            </a>
          </li>
        ))}
      </ul>
      <FormKey label={t(says.writeOne)}>
        {(leave) => <NewDraft {...rooms} drafts={drafts} leave={leave} />}
      </FormKey>
    </section>
  )
}

/** What a new draft begins as, ready to be sent: a file, the text of another draft, or a first line. */
async function begun({ sync }: Rooms, file: File | null, copied: string, measured: MeasuredDrive) {
  if (file)
    return {
      ok: true as const,
      path: '/zip',
      asked: {
        body: await file.arrayBuffer(),
        headers: { ...AS_NEW, 'Content-Type': 'application/octet-stream' },
      },
    }
  if (copied === NOTHING)
    return { ok: true as const, path: '', asked: { json: { text: 'id:\n' }, headers: AS_NEW } }
  if (copied === MEASURED)
    return { ok: true as const, path: '/begin', asked: { json: asBegun(measured), headers: AS_NEW } }
  const from = await sync.askBytes(`/api/drafts/${copied}/zip`)
  if (!from.ok) return from
  const headers = { ...AS_NEW, 'Content-Type': 'application/octet-stream' }
  return { ok: true as const, path: '/zip', asked: { body: await from.value.arrayBuffer(), headers } }
}

function NewDraft({ drafts, leave, ...rooms }: Rooms & { drafts: readonly DraftRow[]; leave: () => void }) {
  const [name, setName] = useState('')
  const [copied, setCopied] = useState(NOTHING)
  const [measured, setMeasured] = useState(nothingMeasured)
  const [file, setFile] = useState<File | null>(null)
  const [isTried, setIsTried] = useState(false)
  const [trouble, setTrouble] = useState<Trouble | null>(null)
  const begin = async () => {
    const first = await begun(rooms, file, copied, measured)
    if (!first.ok) return setTrouble(first.trouble)
    const path = `/api/drafts/${name}${first.path}`
    const answer = await rooms.sync.send<VersionAnswer>(path, { method: 'PUT', ...first.asked })
    if (answer.ok) goTo('desk', 'procedures', name)
    else setTrouble(answer.trouble)
  }
  const fault = NAME.test(name) ? undefined : t(says.nameFault)
  const faults = copied === MEASURED && !file ? measuredFaults(measured) : {}
  const act = () => {
    setIsTried(true)
    return fault === undefined && Object.keys(faults).length === 0 ? begin() : null
  }
  const copies = drafts.map(({ draft }) => ({ value: draft, words: t(says.copyOf, { draft }) }))
  return (
    <DeskForm title={t(says.writeOne)} submit={t(says.begin)} act={act} leave={leave}>
      <Field
        label={t(says.name)}
        hint={t(says.nameHint)}
        fault={isTried ? fault : undefined}
        value={name}
        onValue={setName}
      />
      <Choose
        label={t(says.beginsAs)}
        value={copied}
        onValue={setCopied}
        options={[
          { value: NOTHING, words: t(says.empty) },
          { value: MEASURED, words: t(says.measured) },
          ...copies,
        ]}
      />
      {copied === MEASURED && (
        <Measured rooms={rooms} measured={measured} faults={isTried ? faults : {}} become={setMeasured} />
      )}
      <label class="desk-field">
        {t(says.orFile)}
        <input
          type="file"
          accept=".zip,application/zip"
          onChange={(event) => setFile(event.currentTarget.files?.[0] ?? null)}
        />
      </label>
      <TroubleLine trouble={trouble} />
    </DeskForm>
  )
}
