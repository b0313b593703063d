/** Whose belt will be due, the first first, with whom to call; as a file, too. */
import { useState } from 'preact/hooks'
import type { DueAnswer, DueRow } from '../../ledger/answers'
import type { Trouble } from '../../store'
import { csvText } from '../../work/csv'
import { onDial } from '../../work/dial-unit'
import { urgencyOf, whenWords, whyWords } from '../../work/due'
import { isoDay } from '../../work/format'
import { listed } from '../../work/vehicle-words'
import { Older } from '../office/job-lines'
import { useList } from '../office/from-server'
import { PageHead, TroubleLine } from '../office/shell'
import type { Rooms } from '../rooms'
import { saveFile } from '../save-file'
import { JobRow } from '../office/job-lines'
import { TextKey } from '../text-key'
import * as says from '../../words/en/desk/due'
import { t } from '../../words/message'

export function DuePage({ open, ...rooms }: Rooms & { open: (job: string) => void }) {
  const { answer, older } = useList<DueAnswer>(rooms, '/api/due', undefined, 'dues')
  const rows = answer?.ok ? answer.value.dues : []
  const today = isoDay(new Date())
  const soon = rows.filter((row) => urgencyOf(row, today) !== 'later').length
  return (
    <>
      <PageHead>{answer === null ? t(says.reading) : t(says.title, { n: soon })}</PageHead>
      <TroubleLine trouble={answer && !answer.ok ? answer.trouble : null} />
      <p class="d-text">{answer?.ok && rows.length === 0 ? t(says.none) : t(says.means)}</p>
      <ul class="found">
        {rows.map((row) => (
          <JobRow key={row.job} plate={row.plate} open={() => open(row.job)}>
            <span>
              {listed(row.customer_name, row.telephone) || t(says.noCustomer)}
              <span class="d-small">{row.engine_code}</span>
            </span>
            <span class={urgencyOf(row, today) === 'later' ? '' : 'act-words'}>
              {t(says.when, { urgency: urgencyOf(row, today), when: whenWords(row) })}
            </span>
            <span class="d-small">{[whyWords(row), ...row.oddities].join(' ')}</span>
          </JobRow>
        ))}
      </ul>
      <Older older={older} label={t(says.more)} />
      {rows.length > 0 && <AsFile {...rooms} />}
    </>
  )
}

/** All pages, asked for one after the other: a file that ends in the middle would be taken for the whole. */
async function allRows({ sync }: Rooms): Promise<DueRow[] | Trouble> {
  const rows: DueRow[] = []
  let after: string | null = ''
  while (after !== null) {
    const page: Awaited<ReturnType<typeof sync.ask<DueAnswer>>> = await sync.ask<DueAnswer>(
      `/api/due?most=500${after && `&after=${after}`}`,
    )
    if (!page.ok) return page.trouble
    rows.push(...page.value.dues)
    after = page.value.next
  }
  return rows
}

const FILE = 'two-turns-due.csv'

/** In its own column, for a dial that counts miles; empty for any other. */
const inMiles = ({ odometer_unit }: DueRow, km: number | null) =>
  odometer_unit === 'mi' && km !== null ? onDial(km, 'mi') : null

const cell = (value: string | number | null): string => (value === null ? '' : String(value))

const lineOf = (row: DueRow): string[] =>
  [
    row.plate,
    row.vin,
    row.customer_name,
    row.telephone,
    row.engine_code,
    row.closed_on,
    row.limit_km,
    inMiles(row, row.limit_km),
    row.limit_day,
    row.day,
    row.earliest,
    row.latest,
    row.by,
    row.km_a_year,
    inMiles(row, row.km_a_year),
  ].map(cell)

function AsFile(rooms: Rooms) {
  const [trouble, setTrouble] = useState<Trouble | null>(null)
  const save = async () => {
    setTrouble(null)
    const rows = await allRows(rooms)
    if (!Array.isArray(rows)) return setTrouble(rows)
    const text = csvText([t(says.columns).split('; '), ...rows.map(lineOf)])
    saveFile(new Blob([text], { type: 'text/csv;charset=utf-8' }), FILE)
  }
  return (
    <>
      <TroubleLine trouble={trouble} />
      <p class="under-list">
        <TextKey says={t(says.saveAsFile)} onPress={() => void save()} />
      </p>
    </>
  )
}
