/** Lots and the jobs they went into; a recall shows at once whom it is about. */
import { useId } from 'preact/hooks'
import { useSecret } from '../secret'
import { Secret } from '../record/steps'
import { kmWords, timeWords } from '../../work/format'
import type { Rooms } from '../rooms'
import { lotsOf, otherSpellings, rowOfLot, type Fitted, type LotRow } from '../../work/lots'
import { recallsOf } from '../../work/recalls'
import { checkRecall, type RecallDraft } from './drafts'
import { DeskForm, Field, FormKey } from './form'
import { goTo } from '../office/nav'
import { useFitted, useStatements } from '../office/from-store'
import { PageHead } from '../office/shell'
import { useDraft } from './use-draft'
import { useWriting } from './use-writing'
import * as words from '../../words/en/desk/lots-page'
import { t } from '../../words/message'

export function Lots({ item, ...rooms }: Rooms & { item: string | null }) {
  const statements = useStatements(rooms)
  const fitted = useFitted(rooms)
  if (statements === null || fitted === null) return <p role="status">{t(words.readingTheJobs)}</p>
  const rows = lotsOf(fitted, recallsOf(statements))
  const shown = item === null ? null : rowOfLot(rows, item)
  return shown ? <OneLot key={shown.lot} {...rooms} row={shown} /> : <AllLots {...rooms} rows={rows} />
}

const vehicles = (count: number): string => t(words.jobs, { count })

function AllLots({ rows, ...rooms }: Rooms & { rows: readonly LotRow[] }) {
  const recalled = rows.filter(({ recall }) => recall !== null)
  return (
    <>
      <PageHead>{t(words.lotsRecalled, { n: recalled.length, lot: recalled[0]?.lot ?? '' })}</PageHead>
      {rows.length === 0 && <p class="d-text">{t(words.noLotYet)}</p>}
      <ul class="found">
        {rows.map((row) => (
          <li key={row.lot}>
            <a class="found-row" href={`#/desk/lots/${encodeURIComponent(row.lot)}`}>
              <strong>{row.lot}</strong>
              <span>{row.parts.join(', ')}</span>
              <span>{vehicles(row.fitted.length)}</span>
              <span class={row.recall ? 'act-words' : ''}>
                {row.recall
                  ? t(words.recalled, { because: row.recall.because })
                  : row.fitted[0]
                    ? t(words.lastFitted, { at: timeWords(row.fitted[0].at) })
                    : ''}
              </span>
            </a>
          </li>
        ))}
      </ul>
      {rooms.store.writer.value && (
        <FormKey label={t(words.stateARecall)}>
          {(leave) => <RecallForm {...rooms} rows={rows} lot="" leave={leave} />}
        </FormKey>
      )}
    </>
  )
}

function OneLot({ row, ...rooms }: Rooms & { row: LotRow }) {
  return (
    <>
      <PageHead>{t(words.lotAndRecall, { lot: row.lot, isRecalled: row.recall !== null })}</PageHead>
      <p class="d-text">
        {[...row.parts, vehicles(row.fitted.length)].join('; ')}.{row.recall ? ` ${row.recall.because}` : ''}
        {otherSpellings(row).length > 0 && (
          <> {t(words.alsoWritten, { row: otherSpellings(row).join(', ') })}</>
        )}
      </p>
      <Affected {...rooms} fitted={row.fitted} />
      {row.recall === null && rooms.store.writer.value && (
        <FormKey label={t(words.recallThisLot)}>
          {(leave) => <RecallForm {...rooms} rows={[row]} lot={row.lot} leave={leave} />}
        </FormKey>
      )}
    </>
  )
}

function RecallForm({
  rows,
  lot,
  leave,
  ...rooms
}: Rooms & { rows: readonly LotRow[]; lot: string; leave: () => void }) {
  const { write } = useWriting(rooms, null)
  const list = useId()
  const { draft, of, judged } = useDraft<RecallDraft>({ lot, because: '' })
  const affected = rowOfLot(rows, draft.lot)
  const act = () => {
    const stated = rows.flatMap(({ recall }) => recall ?? [])
    const body = judged(checkRecall(draft, stated))
    if (!body) return null
    return write(async (w) => void (await w.entry('lot.recalled', body))).then(() =>
      goTo('desk', 'lots', body.lot),
    )
  }
  return (
    <DeskForm title={t(words.stateARecall)} submit={t(words.stateTheRecall)} act={act} leave={leave}>
      <Field label={t(words.lot)} {...of('lot')} list={list} />
      <datalist id={list}>
        {rows.map((row) => (
          <option key={row.lot} value={row.lot} />
        ))}
      </datalist>
      <Field label={t(words.why)} hint={t(words.whyHint)} {...of('because')} />
      {lot === '' && (
        <div role="status">
          {draft.lot.trim() !== '' && (
            <p class="d-text">
              {affected && affected.fitted.length > 0
                ? t(words.itWasFittedIn, { fitted: vehicles(affected.fitted.length) })
                : t(words.noJobHasIt)}
            </p>
          )}
          {affected && <Affected {...rooms} fitted={affected.fitted} />}
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
        <strong>{plate ?? t(words.plateNotHere)}</strong>
        <span>
          {each.row.engineCode}, {kmWords(each.row.odometerKm)}
        </span>
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
