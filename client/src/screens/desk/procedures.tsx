/** What work goes by: published procedures, and the withdrawing of one. */
import { timeWords } from '../../work/format'
import type { Rooms } from '../rooms'
import type { WeightAnswer } from '../../ledger/answers'
import { BecauseForm, stating } from './because'
import { FormKey } from '../office/form-key'
import { useAsked } from '../office/from-server'
import { DraftList } from './draft-list'
import { Offers } from './offers'
import { useStatements } from '../office/from-store'
import { PageHead } from '../office/shell'
import { proceduresOf, type ProcedureRow } from '../../work/statements'
import * as says from '../../words/en/desk/procedures'
import * as state from '../../words/en/work/state'
import { t } from '../../words/message'

export function Procedures(rooms: Rooms) {
  const statements = useStatements(rooms)
  if (statements === null) return <p role="status">{t(says.readingTheProcedures)}</p>
  const rows = proceduresOf(statements)
  return (
    <>
      <PageHead>{t(says.procedures)}</PageHead>
      <Offers {...rooms} published={rows.map(({ bundle }) => bundle)} />
      <DraftList {...rooms} />
      <h2 class="phase-head">{t(says.published)}</h2>
      {rows.length === 0 && <p class="d-text">{t(says.nonePublished)}</p>}
      <ul class="people">
        {rows.map((row) => (
          <Procedure key={row.bundle} {...rooms} row={row} />
        ))}
      </ul>
    </>
  )
}

function Procedure({ row, ...rooms }: Rooms & { row: ProcedureRow }) {
  const withdraws = (
    <>
      {t(says.withdraw)}
      <span class="unseen"> {t(state.edition, { name: row.name, edition: row.edition })}</span>
    </>
  )
  return (
    <li class="person">
      <h2 class="step-phase">{t(state.edition, { name: row.name, edition: row.edition })}</h2>
      <dl class="facts-list">
        <dt>{t(says.engines)}</dt>
        <dd>{row.engineCodes.join(', ') || t(says.noneNamed)}</dd>
        <dt>{t(says.published)}</dt>
        <dd>{timeWords(row.at)}</dd>
        <dt>{t(says.sha256)}</dt>
        <dd class="hash">{row.bundle}</dd>
      </dl>
      <Weight {...rooms} bundle={row.bundle} />
      {row.withdrawn !== null && <p class="act-words">{t(says.withdrawn, { withdrawn: row.withdrawn })}</p>}
      {row.withdrawn === null && rooms.store.writer.value && (
        <FormKey label={withdraws}>{(leave) => <WithdrawForm {...rooms} row={row} leave={leave} />}</FormKey>
      )}
    </li>
  )
}

/** So many of the heaviest steps are told: what is taken in at a glance. */
const HEAVIEST = 5

/** What the straight job asks of the phone, and its heaviest steps. Without a line it is not told. */
function Weight({ bundle, ...rooms }: Rooms & { bundle: string }) {
  const answer = useAsked<WeightAnswer>(rooms, `/api/bundles/${bundle}/weight`)
  if (!answer?.ok) return null
  const { touches, holds, photos, characters, minutes, steps } = answer.value
  return (
    <details class="d-text more">
      <summary>{t(says.asksOfPhone, { touches, holds, photos })}</summary>
      <p>{t(says.typedAndWaited, { characters, minutes })}</p>
      <p>{t(says.heaviest)}</p>
      <ol>
        {steps.slice(0, HEAVIEST).map(({ number, title, hand }) => (
          <li key={number}>{t(says.heavyStep, { number, title, hand })}</li>
        ))}
      </ol>
    </details>
  )
}

function WithdrawForm({ row, leave, ...rooms }: Rooms & { row: ProcedureRow; leave: () => void }) {
  return (
    <BecauseForm
      {...rooms}
      title={t(says.withdrawEdition, { name: row.name, edition: row.edition })}
      submit={t(says.withdrawIt)}
      means={t(says.withdrawMeans)}
      hint={t(says.staysInLedger)}
      state={stating('bundle.withdrawn', { bundle: row.bundle })}
      leave={leave}
    />
  )
}
