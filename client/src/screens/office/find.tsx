/** Finding jobs by plate, VIN, lot, tool or the code on a sticker. The same for desk and audit. */
import type { JobsAnswer } from '../../ledger/answers'
import type { Rooms } from '../rooms'
import { timeWords } from '../../work/format'
import { useList } from './from-server'
import { JobLines } from './job-lines'
import { useKept } from './kept'
import { TroubleLine } from './shell'
import * as words from '../../words/en/office/find'
import { t } from '../../words/message'

const BY = [
  { id: 'vin', name: 'VIN' },
  { id: 'plate', name: t(words.plate) },
  { id: 'lot', name: t(words.lotOfAPart) },
  { id: 'tool', name: t(words.tool) },
  { id: 'code', name: t(words.code) },
] as const

/** What it was found by may be the VIN: it stands in each row. */
const lastWords = ({ vin, last_received }: JobsAnswer['jobs'][number]) =>
  t(words.vinAndLast, { vin: vin ?? t(words.vinNotHere), at: timeWords(last_received) })

export function Find({ open, ...rooms }: Rooms & { open: (job: string) => void }) {
  const [by, setBy] = useKept<string>('find/by', 'vin')
  const [typed, setTyped] = useKept('find/typed', '')
  const [asked, setAsked] = useKept<Record<string, string> | null>('find/asked', null)
  const { answer, older } = useList<JobsAnswer>(rooms, asked && '/api/find', asked ?? undefined)
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
      {answer?.ok && (
        <JobLines {...rooms} rows={answer.value.jobs} open={open} older={older} last={lastWords} />
      )}
    </>
  )
}
