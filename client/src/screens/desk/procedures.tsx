/** What work goes by: published procedures, and the withdrawing of one. */
import { useState } from 'preact/hooks'
import { timeWords } from '../../work/format'
import type { Rooms } from '../rooms'
import { becauseFault } from './drafts'
import { DeskForm, Field } from './form'
import { useStatements } from '../office/from-store'
import { PageHead } from '../office/shell'
import { proceduresOf, type ProcedureRow } from '../../work/statements'
import { useWriting } from './use-writing'

export function Procedures(rooms: Rooms) {
  const statements = useStatements(rooms)
  if (statements === null) return <p role="status">Reading the procedures.</p>
  const rows = proceduresOf(statements)
  return (
    <>
      <PageHead>Procedures</PageHead>
      {rows.length === 0 && (
        <p class="d-text">
          None is published yet. On the workshop's computer: twoturns procedure publish FOLDER.
        </p>
      )}
      <ul class="people">
        {rows.map((row) => (
          <Procedure key={row.bundle} {...rooms} row={row} />
        ))}
      </ul>
    </>
  )
}

function Procedure({ row, ...rooms }: Rooms & { row: ProcedureRow }) {
  const [isOpen, setOpen] = useState(false)
  return (
    <li class="person">
      <h2 class="step-phase">
        {row.name}, edition {row.edition}
      </h2>
      <dl class="facts-list">
        <dt>Engines</dt>
        <dd>{row.engineCodes.join(', ') || 'none named'}</dd>
        <dt>Published</dt>
        <dd>{timeWords(row.at)}</dd>
        <dt>SHA-256</dt>
        <dd class="hash">{row.bundle}</dd>
      </dl>
      {row.withdrawn !== null && <p class="act-words">Withdrawn: {row.withdrawn}</p>}
      {row.withdrawn === null && rooms.store.writer.value && !isOpen && (
        <button type="button" class="text-key under-list" onClick={() => setOpen(true)}>
          Withdraw<span class="unseen"> {`${row.name}, edition ${row.edition}`}</span>
        </button>
      )}
      {isOpen && row.withdrawn === null && <WithdrawForm {...rooms} row={row} leave={() => setOpen(false)} />}
    </li>
  )
}

function WithdrawForm({ row, leave, ...rooms }: Rooms & { row: ProcedureRow; leave: () => void }) {
  const { write } = useWriting(rooms, null)
  const [because, setBecause] = useState('')
  const [fault, setFault] = useState<string | undefined>(undefined)
  const act = () => {
    const words = because.normalize('NFC').trim()
    const found = becauseFault(words)
    setFault(found)
    return found === undefined
      ? write(
          async (w) => void (await w.entry('bundle.withdrawn', { bundle: row.bundle, because: words })),
        ).then(leave)
      : null
  }
  return (
    <DeskForm
      title={`Withdraw ${row.name}, edition ${row.edition}`}
      submit="Withdraw it"
      act={act}
      leave={leave}
    >
      <p class="d-text">
        No new job is opened by it. Every job that went by it shows the reason, and an open one stops at it.
        There is no way back: a corrected edition is published.
      </p>
      <Field
        label="Why"
        hint="It stays in the ledger for everybody."
        value={because}
        onValue={setBecause}
        fault={fault}
      />
    </DeskForm>
  )
}
