/** Lots and the jobs they went into; a recall shows at once whom it is about. */
import { useId } from 'preact/hooks'
import { useSecret } from '../secret'
import { Secret } from '../record/steps'
import { timeWords } from '../../work/format'
import { engineWords, plateWords } from '../../work/vehicle-words'
import type { Rooms } from '../rooms'
import { lotsOf, otherSpellings, rowOfLot, type Fitted, type LotLine, type LotRow } from '../../work/lots'
import { recallsOf } from '../../work/recalls'
import { checkRecall, type RecallDraft } from './drafts'
import { FormKey } from '../office/form-key'
import { DeskForm, Field } from './form'
import { goTo } from '../office/nav'
import { Older } from '../office/job-lines'
import { useFoundJobs, type FoundJobs } from '../office/found-jobs'
import { useFitted, useStatements } from '../office/from-store'
import { useLots } from '../office/lots-listed'
import { PageHead, TroubleLine } from '../office/shell'
import type { Trouble } from '../../store'
import { lotKey } from '../../work/spelling'
import { useDraft } from './use-draft'
import { useWriting } from './use-writing'
import * as words from '../../words/en/desk/lots-page'
import { t } from '../../words/message'

export function Lots({ item, ...rooms }: Rooms & { item: string | null }) {
  const { lines, trouble, older } = useLots(rooms)
  if (item !== null) return <OneLot key={item} {...rooms} lot={item} lines={lines ?? []} />
  if (lines === null) return <p role="status">{t(words.readingTheJobs)}</p>
  return <AllLots {...rooms} lines={lines} trouble={trouble} older={older} />
}

interface LotRows {
  row: LotRow | null /** Null until the jobs of the lot are read. */
  isRead: boolean
  found: FoundJobs
}

/** One lot, as the logs of its jobs say. */
function useLot(rooms: Rooms, lot: string): LotRows {
  const found = useFoundJobs(rooms, lot === '' ? null : { by: 'lot', name: lot })
  const statements = useStatements(rooms)
  const fitted = useFitted(rooms, found.readable)
  const isRead = statements !== null && fitted !== null && found.readable !== null
  const row = isRead ? rowOfLot(lotsOf(fitted, recallsOf(statements)), lot) : null
  return { row, isRead, found }
}

const readingWords = ({ coming }: FoundJobs) =>
  coming ? t(words.readingOf, coming) : t(words.readingTheJobs)

const vehicles = (count: number): string => t(words.jobs, { count })

interface AllProps {
  lines: readonly LotLine[]
  trouble: Trouble | null
  older: (() => void) | null
}

function AllLots({ lines, trouble, older, ...rooms }: Rooms & AllProps) {
  const recalled = lines.filter(({ recall }) => recall !== null)
  return (
    <>
      <PageHead>{t(words.lotsRecalled, { n: recalled.length, lot: recalled[0]?.lot ?? '' })}</PageHead>
      <TroubleLine trouble={trouble} />
      {trouble && <p class="d-text">{t(words.onlyOfJobsHere)}</p>}
      {lines.length === 0 && !trouble && <p class="d-text">{t(words.noLotYet)}</p>}
      <ul class="found">
        {lines.map((line) => (
          <li key={line.lot}>
            <a class="found-row" href={`#/desk/lots/${encodeURIComponent(line.lot)}`}>
              <strong>{line.lot}</strong>
              <span>{line.parts.join(', ')}</span>
              <span>{vehicles(line.jobs)}</span>
              <span class={line.recall ? 'act-words' : ''}>
                {line.recall
                  ? t(words.recalled, { because: line.recall.because })
                  : line.at === null
                    ? ''
                    : t(words.lastFitted, { at: timeWords(line.at) })}
              </span>
            </a>
          </li>
        ))}
      </ul>
      <Older older={older} label={t(words.moreLots)} />
      {rooms.store.writer.value && (
        <FormKey label={t(words.stateARecall)}>
          {(leave) => <RecallForm {...rooms} lines={lines} lot="" leave={leave} />}
        </FormKey>
      )}
    </>
  )
}

function OneLot({ lot, lines, ...rooms }: Rooms & { lot: string; lines: readonly LotLine[] }) {
  const { row, isRead, found } = useLot(rooms, lot)
  if (!isRead) return <p role="status">{readingWords(found)}</p>
  if (row) return <LotShown {...rooms} row={row} lines={lines} found={found} />
  return (
    <>
      <PageHead>{t(words.lotAndRecall, { lot, isRecalled: false })}</PageHead>
      <TroubleLine trouble={found.trouble} />
      <p class="d-text">{found.trouble ? t(words.onlyOfJobsHere) : t(words.noJobOfLot)}</p>
    </>
  )
}

function LotShown({
  row,
  lines,
  found,
  ...rooms
}: Rooms & { row: LotRow; lines: readonly LotLine[]; found: FoundJobs }) {
  return (
    <>
      <PageHead>{t(words.lotAndRecall, { lot: row.lot, isRecalled: row.recall !== null })}</PageHead>
      <TroubleLine trouble={found.trouble} />
      {found.trouble && <p class="d-text">{t(words.onlyOfJobsHere)}</p>}
      {found.older && <p class="d-text">{t(words.notAll)}</p>}
      <p class="d-text">
        {[...row.parts, vehicles(row.fitted.length)].join('; ')}.{row.recall ? ` ${row.recall.because}` : ''}
        {otherSpellings(row).length > 0 && (
          <> {t(words.alsoWritten, { row: otherSpellings(row).join(', ') })}</>
        )}
      </p>
      {row.recall && (
        <p class="lot-follow">
          <button
            type="button"
            class="text-key text-key-main"
            onClick={() => goTo('desk', 'follow', row.recall!.entry)}
          >
            {t(words.followItUp)}
          </button>
        </p>
      )}
      <Affected {...rooms} fitted={row.fitted} />
      <Older older={found.older} label={t(words.moreJobs)} />
      {row.recall === null && rooms.store.writer.value && (
        <FormKey label={t(words.recallThisLot)}>
          {(leave) => <RecallForm {...rooms} lines={lines} lot={row.lot} leave={leave} />}
        </FormKey>
      )}
    </>
  )
}

/** What the typed lot was fitted in: asked of the workshop, for the list may not show it yet. */
function AffectedBy({ lot, ...rooms }: Rooms & { lot: string }) {
  const { row, isRead, found } = useLot(rooms, lot)
  if (!isRead) return <p class="d-text">{readingWords(found)}</p>
  return (
    <>
      <TroubleLine trouble={found.trouble} />
      <p class="d-text">
        {row && row.fitted.length > 0
          ? t(words.itWasFittedIn, { fitted: vehicles(row.fitted.length) })
          : found.trouble
            ? t(words.onlyOfJobsHere)
            : t(words.noJobHasIt)}
      </p>
      {row && <Affected {...rooms} fitted={row.fitted} />}
    </>
  )
}

function RecallForm({
  lines,
  lot,
  leave,
  ...rooms
}: Rooms & { lines: readonly LotLine[]; lot: string; leave: () => void }) {
  const { write } = useWriting(rooms, null)
  const list = useId()
  const { draft, of, judged, done } = useDraft<RecallDraft>(`recall/${lot}`, {
    lot,
    because: '',
    until: '',
  })
  const act = () => {
    const stated = lines.flatMap(({ recall }) => recall ?? [])
    const body = judged(checkRecall(draft, stated))
    if (!body) return null
    return write(async (w) => void (await w.entry('lot.recalled', body))).then(() => {
      done()
      goTo('desk', 'lots', body.lot)
    })
  }
  return (
    <DeskForm title={t(words.stateARecall)} submit={t(words.stateTheRecall)} act={act} leave={leave}>
      <Field label={t(words.lot)} {...of('lot')} list={list} />
      <datalist id={list}>
        {lines.map((line) => (
          <option key={line.lot} value={line.lot} />
        ))}
      </datalist>
      <Field label={t(words.why)} hint={t(words.whyHint)} {...of('because')} />
      <Field label={t(words.until)} hint={t(words.untilHint)} type="date" {...of('until')} />
      {lot === '' && (
        <div role="status">
          {draft.lot.trim() !== '' && (
            <AffectedBy key={lotKey(draft.lot)} {...rooms} lot={draft.lot.trim()} />
          )}
        </div>
      )}
    </DeskForm>
  )
}

/** The jobs of a lot, to call by: plate, kilometres, whether it has left, and what is known of the driver. */
function Affected({ fitted, ...rooms }: Rooms & { fitted: readonly Fitted[] }) {
  return (
    <ul class="found">
      {fitted.map((each) => (
        <AffectedRow key={`${each.row.job} ${each.part}`} {...rooms} each={each} />
      ))}
    </ul>
  )
}

function AffectedRow({ each, ...rooms }: Rooms & { each: Fitted }) {
  const plate = useSecret(rooms, each.row.plate)
  return (
    <li>
      <button type="button" class="found-row" onClick={() => goTo('desk', 'jobs', each.row.job)}>
        <strong>{plateWords(plate)}</strong>
        <span>{engineWords(each.row.engineCode, each.row.odometerKm, each.row.odometerUnit)}</span>
        <span>
          {each.closedAt === null
            ? t(words.stillHere, { isReplaced: each.isReplaced })
            : t(words.left, { isReplaced: each.isReplaced, closedAt: timeWords(each.closedAt) })}
        </span>
        <span>{each.customer ? <Secret {...rooms} of={each.customer} /> : t(words.noDriverNamed)}</span>
      </button>
    </li>
  )
}
