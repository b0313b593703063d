/** Ordering an erasure, from a job or a person: what, why, and on what basis. */
import { useState } from 'preact/hooks'
import type { Rooms } from '../rooms'
import type { Faults } from './drafts'
import { checkOrder, type OrderDraft } from './erasing'
import { Choose, DeskForm, Field } from './form'
import { useWriting } from './use-writing'

interface EraseProps extends Rooms {
  /** Of what, as the key names it: "of this job". */
  of: string
  values: readonly string[]
  /** Photos and recordings, where there are any. */
  files?: readonly string[]
}

/** A key that opens the form; after the order it says what comes. */
export function Erase(props: EraseProps) {
  const [at, setAt] = useState<'closed' | 'open' | 'ordered'>('closed')
  const { values, files = [], of, store } = props
  if (!store.writer.value || values.length + files.length === 0) return null
  if (at === 'ordered') {
    return (
      <p class="d-text" role="status">
        Ordered. It is hidden from all but owners now.{' '}
        <a href="#/desk/erasing">See when it is erased, or withdraw it.</a>
      </p>
    )
  }
  if (at === 'open')
    return <OrderForm {...props} done={() => setAt('ordered')} leave={() => setAt('closed')} />
  return (
    <button type="button" class="text-key under-list" onClick={() => setAt('open')}>
      Erase private values {of}
    </button>
  )
}

function OrderForm({
  of,
  values,
  files = [],
  done,
  leave,
  ...rooms
}: EraseProps & { done: () => void; leave: () => void }) {
  const { write } = useWriting(rooms, null)
  const [draft, setDraft] = useState<OrderDraft>({ reason: '', basis: '' })
  const [faults, setFaults] = useState<Faults<OrderDraft>>({})
  const [what, setWhat] = useState(values.length > 0 ? 'values' : 'all')
  const act = () => {
    const checked = checkOrder(draft, what === 'all' ? [...values, ...files] : values)
    setFaults(checked.ok ? {} : checked.faults)
    if (!checked.ok) return null
    return write(async (w) => {
      for (const order of checked.body) await w.entry('erasure.ordered', order)
    }).then(done)
  }
  return (
    <DeskForm title={`Erase private values ${of}`} submit="Order the erasure" act={act} leave={leave}>
      <p class="d-text">
        They are hidden from all but owners at once, and erased after the delay: in the workshop, in its next
        backup, and on phones when they sync. Any owner withdraws it until then. The record that something
        stood there stays.
      </p>
      {files.length > 0 && values.length > 0 && (
        <Choose
          label="What"
          value={what}
          onValue={setWhat}
          options={[
            { value: 'values', words: `VIN, plate, names, words and signatures: ${values.length}` },
            { value: 'all', words: `these, and photos and recordings: ${values.length + files.length}` },
          ]}
        />
      )}
      <Field
        label="Why"
        hint="It stays in the ledger for everybody: no names."
        value={draft.reason}
        onValue={(reason) => setDraft({ ...draft, reason })}
        fault={faults.reason}
      />
      <Field
        label="On what basis"
        hint="The law and its article, or a contract."
        value={draft.basis}
        onValue={(basis) => setDraft({ ...draft, basis })}
        fault={faults.basis}
      />
    </DeskForm>
  )
}
