/** Ordering an erasure, from a job or a person: what, why, and on what basis. */
import { useState } from 'preact/hooks'
import type { Rooms } from '../rooms'
import { checkOrder, type OrderDraft } from './erasing'
import { DeskForm, Field } from './form'
import { Choose } from '../office/choose'
import { useDraft } from './use-draft'
import { useWriting } from './use-writing'
import * as says from '../../words/en/desk/erase-form'
import { pieces, t } from '../../words/message'

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
        {pieces(says.ordered, {
          when: <a href="#/desk/erasing">{t(says.seeErasing)}</a>,
        })}
      </p>
    )
  }
  if (at === 'open')
    return <OrderForm {...props} done={() => setAt('ordered')} leave={() => setAt('closed')} />
  return (
    <button type="button" class="text-key under-list" onClick={() => setAt('open')}>
      {t(says.erasePrivateValues, { of })}
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
  const drafted = useDraft<OrderDraft>(
    `erase/${values[0] ?? files[0] ?? ''}`,
    { reason: '', basis: '' },
    done,
  )
  const { draft, of: field, judged } = drafted
  const [what, setWhat] = useState(values.length > 0 ? 'values' : 'all')
  const act = () => {
    const orders = judged(checkOrder(draft, what === 'all' ? [...values, ...files] : values))
    if (!orders) return null
    return write(async (w) => {
      for (const order of orders) await w.entry('erasure.ordered', order)
    }).then(drafted.done)
  }
  return (
    <DeskForm
      title={t(says.erasePrivateValues, { of })}
      submit={t(says.orderTheErasure)}
      act={act}
      leave={leave}
    >
      <p class="d-text">{t(says.erasureMeans)}</p>
      {files.length > 0 && values.length > 0 && (
        <Choose
          label={t(says.what)}
          value={what}
          onValue={setWhat}
          options={[
            { value: 'values', words: t(says.valuesOnly, { values: values.length }) },
            {
              value: 'all',
              words: t(says.valuesAndPhotos, { values: values.length + files.length }),
            },
          ]}
        />
      )}
      <Field label={t(says.why)} hint={t(says.staysInLedger)} {...field('reason')} />
      <Field label={t(says.onWhatBasis)} hint={t(says.basisHint)} {...field('basis')} />
    </DeskForm>
  )
}
