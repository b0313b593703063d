/** Jobs in a line each, as their owner reads them: whose, how they stand, who is on them, promised for when. */
import type { ComponentChildren } from 'preact'
import type { JobLine } from '../../ledger/answers'
import type { Rooms } from '../rooms'
import { useSecret } from '../secret'
import { namesWords, usePeople } from '../names'
import { timeWords } from '../../work/format'
import { promiseWords, standsWords, type Stands } from '../../work/job-stands'
import { engineWords, listed, plateWords } from '../../work/vehicle-words'
import { TextKey } from '../text-key'
import * as says from '../../words/en/office/job-lines'
import { t } from '../../words/message'

type Line = JobLine & Stands

interface JobLinesProps extends Rooms {
  rows: readonly Line[]
  open: (job: string) => void
  older?: (() => void) | null
  /** What stands in the last column: when the job was heard of, or what came of it. */
  last?: (row: Line) => string
}

export function JobLines({ rows, open, older = null, last, ...rooms }: JobLinesProps) {
  const people = usePeople(rooms)
  return (
    <>
      <ul class="found">
        {rows.map((row) => (
          <JobRow key={row.job} plate={row.plate} open={() => open(row.job)}>
            <span>
              <Customer {...rooms} row={row} />
              <span class="d-small">{engineWords(row.engine_code, row.odometer_km, row.odometer_unit)}</span>
            </span>
            <span>
              {standsWords(row)}
              <Promised row={row} />
            </span>
            <span>
              {whoWords(row, people)}
              <span class="d-small">
                {last ? last(row) : t(says.lastHeardOf, { at: timeWords(row.last_received) })}
              </span>
            </span>
          </JobRow>
        ))}
      </ul>
      <Older older={older} label={t(says.olderJobs)} />
    </>
  )
}

/** The key below a list that has more. */
export function Older({ older, label }: { older: (() => void) | null; label: string }) {
  if (older === null) return null
  return (
    <p class="under-list">
      <TextKey says={label} onPress={older} />
    </p>
  )
}

interface JobRowProps {
  plate: string | null
  open: () => void
  children: ComponentChildren
}

/** A job that is opened by its line: its plate, and beside it what the page lists jobs for. */
export function JobRow({ plate, open, children }: JobRowProps) {
  return (
    <li>
      <button type="button" class="found-row job-line" onClick={open}>
        <strong>{plateWords(plate)}</strong>
        {children}
      </button>
    </li>
  )
}

function Customer({ row, ...rooms }: Rooms & { row: Line }) {
  const name = useSecret(rooms, refOf(row.customer))
  const phone = useSecret(rooms, refOf(row.phone))
  return <>{listed(name, phone) || <span class="d-small">{t(says.noCustomer)}</span>}</>
}

const refOf = (blob: string | null) => (blob === null ? undefined : { blob })

function Promised({ row }: { row: Line }) {
  const words = promiseWords(row, Date.now())
  return words === null ? null : <span class="d-small">{words}</span>
}

/** Who has it planned, and who worked on it. */
function whoWords({ planned, persons }: Line, people: ReadonlyMap<string, string>): string {
  if (planned?.person) return t(says.plannedFor, { name: namesWords([planned.person], people) })
  return persons.length === 0 ? t(says.nobodyYet) : namesWords(persons, people)
}
