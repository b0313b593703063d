/** Calls at the desk: those that wait for a vehicle, one of them, and the form that takes one. */
import { useEffect, useState } from 'preact/hooks'
import { enquiries, type EnquiryRow } from '../../work/enquiries'
import { enquiryWords } from '../../work/enquiry'
import { timeWords } from '../../work/format'
import { listed } from '../../work/vehicle-words'
import { goTo } from '../office/nav'
import { PageHead } from '../office/shell'
import { reading, useChanged } from '../reading'
import type { Rooms } from '../rooms'
import { useSecret } from '../secret'
import { CallForm } from './call-form'
import { OneCall } from './one-call'
import * as words from '../../words/en/desk/calls-page'
import { t } from '../../words/message'

const NEW = 'new'

export function Calls({ item, ...rooms }: Rooms & { item: string | null }) {
  const [rows, setRows] = useState<readonly EnquiryRow[] | null>(null)
  const changed = useChanged(rooms.store)
  useEffect(() => reading(enquiries(rooms.store), setRows), [rooms.store, changed])
  if (item === NEW) return <CallForm {...rooms} before={null} leave={(job) => goTo('desk', 'calls', job)} />
  if (rows === null) return <p role="status">{t(words.readingTheCalls)}</p>
  const row = rows.find(({ job }) => job === item)
  if (row) return <OneCall key={row.job} {...rooms} row={row} />
  return <AllCalls {...rooms} rows={rows} isGone={item !== null} />
}

function AllCalls({ rows, isGone, ...rooms }: Rooms & { rows: readonly EnquiryRow[]; isGone: boolean }) {
  const open = rows.filter(({ declined }) => declined === null)
  const declined = rows.filter((row) => row.declined !== null)
  return (
    <>
      <PageHead>{t(words.callsWaiting, { n: open.length })}</PageHead>
      {isGone && <p class="d-text">{t(words.isOpened)}</p>}
      {rooms.store.writer.value && (
        <div class="keys-row">
          <button type="button" class="text-key text-key-main" onClick={() => goTo('desk', 'calls', NEW)}>
            {t(words.takeACall)}
          </button>
        </div>
      )}
      <Rows {...rooms} rows={open} />
      {declined.length > 0 && (
        <>
          <h2 class="phase-head">{t(words.declined)}</h2>
          <Rows {...rooms} rows={declined} />
        </>
      )}
      <p class="d-small">{t(words.opensOnAPhone)}</p>
    </>
  )
}

function Rows({ rows, ...rooms }: Rooms & { rows: readonly EnquiryRow[] }) {
  return (
    <ul class="found">
      {rows.map((row) => (
        <Row key={row.job} {...rooms} row={row} />
      ))}
    </ul>
  )
}

function Row({ row: { job, body, at, declined }, ...rooms }: Rooms & { row: EnquiryRow }) {
  const plate = useSecret(rooms, body.plate)
  const customer = useSecret(rooms, body.customer)
  const phone = useSecret(rooms, body.phone)
  return (
    <li>
      <a class="found-row" href={`#/desk/calls/${encodeURIComponent(job)}`}>
        <strong>{plate ?? t(words.noPlate)}</strong>
        <span>{listed(customer, phone) || t(words.nobodyNamed)}</span>
        <span>{enquiryWords(body, declined)}</span>
        <span>{timeWords(at)}</span>
      </a>
    </li>
  )
}
