/** Every entry of a job, on demand: who, with which device, when by its clock, when it came in, where it stands. */
import { useEffect, useState } from 'preact/hooks'
import type { PageAnswer } from '../../ledger/answers'
import type { Trouble } from '../../store'
import type { Answer } from '../../sync'
import { TroubleLine } from '../office/shell'
import type { Rooms } from '../rooms'
import { rowsOf, type Came, type HistoryRow } from '../../work/history'
import { placeOfHeld, timeWords } from '../../work/format'
import type { JobRecord } from '../../work/record'
import { STANDS } from './stands'
import * as says from '../../words/en/record/history'
import { t } from '../../words/message'

/** When each record came in is not kept in the browser: it is asked for. */
async function came(sync: Rooms['sync'], job: string): Promise<Answer<Came>> {
  const found: Came = new Map()
  for (let since = 0, more = true; more; ) {
    const answer = await sync.ask<PageAnswer>(`/api/jobs/${job}/log?since=${since}`)
    if (!answer.ok) return answer
    for (const { index, record } of answer.value.records) found.set(index, record)
    ;({ next: since, more } = answer.value)
  }
  return { ok: true, value: found }
}

export function History({
  record,
  people,
  sync,
}: Rooms & { record: JobRecord; people: ReadonlyMap<string, string> }) {
  const [isOpen, setOpen] = useState(false)
  const [records, setRecords] = useState<Came>(new Map())
  const [trouble, setTrouble] = useState<Trouble | null>(null)
  useEffect(() => {
    if (!isOpen) return
    let gone = false
    void came(sync, record.row.job).then((answer) => {
      if (gone) return
      setTrouble(answer.ok ? null : answer.trouble)
      if (answer.ok) setRecords(answer.value)
    })
    return () => {
      gone = true
    }
  }, [sync, isOpen, record])
  return (
    <section>
      <h2 class="phase-head">{t(says.entryByEntry)}</h2>
      <details class="more" onToggle={(event) => setOpen(event.currentTarget.open)}>
        <summary>{t(says.entriesCaption, { held: record.held.length })}</summary>
        <TroubleLine trouble={trouble} />
        {isOpen && <Entries rows={rowsOf(record, records)} people={people} />}
      </details>
    </section>
  )
}

function Entries({ rows, people }: { rows: readonly HistoryRow[]; people: ReadonlyMap<string, string> }) {
  return (
    <div class="wide-table" tabIndex={0} role="region" aria-label={t(says.entries)}>
      <table class="history">
        <thead>
          <tr>
            <th scope="col">{t(says.record)}</th>
            <th scope="col">{t(says.what)}</th>
            <th scope="col">{t(says.who)}</th>
            <th scope="col">{t(says.device)}</th>
            <th scope="col">{t(says.byItsClock)}</th>
            <th scope="col">{t(says.cameIn)}</th>
            <th scope="col">{t(says.stands)}</th>
          </tr>
        </thead>
        <tbody>
          {rows.map(({ held, what, received, oddities }) => (
            <tr key={held.entry.id}>
              <td>{held.index ?? t(says.noneYet)}</td>
              <td>{what}</td>
              <td>{people.get(held.entry.person) ?? t(says.nameNotHere)}</td>
              <td title={held.entry.device}>{held.entry.device.slice(0, 8)}</td>
              <td>
                {timeWords(held.entry.at)}
                {oddities.map((words) => (
                  <b class="act-words">{words}</b>
                ))}
              </td>
              <td>{received === null ? placeOfHeld(held) : timeWords(received)}</td>
              <td>{STANDS[held.standing]}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  )
}
