/** Finding jobs by plate, VIN, lot or tool. The same for desk and audit. */
import { useState } from 'preact/hooks'
import type { FoundAnswer, FoundRow } from '../../ledger/answers'
import type { Rooms } from '../rooms'
import { kmWords, timeWords } from '../../work/format'
import { useList } from './from-server'
import { TroubleLine } from './shell'
import * as words from '../../words/en/office/find'
import { t } from '../../words/message'

const BY = [
  { id: 'vin', name: 'VIN' },
  { id: 'plate', name: t(words.plate) },
  { id: 'lot', name: t(words.lotOfAPart) },
  { id: 'tool', name: t(words.tool) },
] as const

/** The key below a list that has more. */
export function Older({ older, label }: { older: (() => void) | null; label: string }) {
  if (older === null) return null
  return (
    <p class="under-list">
      <button type="button" class="text-key" onClick={older}>
        {label}
      </button>
    </p>
  )
}

interface JobTableProps {
  rows: readonly FoundRow[]
  open: (job: string) => void
  older: (() => void) | null
}

export function JobTable({ rows, open, older }: JobTableProps) {
  return (
    <>
      <JobRows rows={rows} open={open} />
      <Older older={older} label={t(words.olderJobs)} />
    </>
  )
}

function JobRows({ rows, open }: { rows: readonly FoundRow[]; open: (job: string) => void }) {
  return (
    <ul class="found">
      {rows.map((row) => (
        <li>
          <button type="button" class="found-row" onClick={() => open(row.job)}>
            <strong>{row.plate ?? t(words.plateNotHere)}</strong>
            <span>{row.vin ?? t(words.vinNotHere)}</span>
            <span>
              {row.engine_code ?? ''}
              {row.odometer_km === null ? '' : `, ${kmWords(row.odometer_km)}`}
            </span>
            <span>
              {t(words.jobState, {
                is_closed: row.is_closed,
                last_received: timeWords(row.last_received),
              })}
            </span>
          </button>
        </li>
      ))}
    </ul>
  )
}

export function Find({ open, ...rooms }: Rooms & { open: (job: string) => void }) {
  const [by, setBy] = useState<string>('vin')
  const [typed, setTyped] = useState('')
  const [asked, setAsked] = useState<Record<string, string> | null>(null)
  const { answer, older } = useList<FoundAnswer>(rooms, asked && '/api/find', asked ?? undefined)
  return (
    <>
      <form
        class="find"
        onSubmit={(event) => {
          event.preventDefault()
          if (typed.trim()) setAsked({ [by]: typed.trim() })
        }}
      >
        <fieldset>
          <legend>{t(words.findBy)}</legend>
          {BY.map(({ id, name }) => (
            <label>
              <input type="radio" name="by" value={id} checked={by === id} onChange={() => setBy(id)} />
              {name}
            </label>
          ))}
        </fieldset>
        <label class="find-text">
          <span>{BY.find(({ id }) => id === by)?.name}</span>
          <input
            type="search"
            value={typed}
            maxLength={64}
            autocomplete="off"
            autocapitalize="characters"
            onInput={(event) => setTyped(event.currentTarget.value)}
          />
        </label>
        <button type="submit" class="text-key text-key-main">
          {t(words.find)}
        </button>
      </form>
      <TroubleLine trouble={answer && !answer.ok ? answer.trouble : null} />
      <div role="status">
        {answer?.ok && answer.value.jobs.length === 0 && <p class="d-text">{t(words.notFound)}</p>}
      </div>
      {answer?.ok && <JobTable rows={answer.value.jobs} open={open} older={older} />}
    </>
  )
}
