/** Calling the owner, at the number that was typed on this phone, and the customer: by the phone's own telephone. */
import { signal } from '@preact/signals'
import { useEffect } from 'preact/hooks'
import { EntryLine } from '../../parts/pad'
import type { Ref } from '../../ledger/bodies'
import type { Store } from '../../store'
import { dialled } from '../../work/telephone'
import { useSecret } from '../secret'
import { goBay } from './nav'
import { RowKey } from './rows'
import * as words from '../../words/en/bay/call'
import { t } from '../../words/message'

const SETTING = 'owner-telephone'
const LONGEST = 32
/** Null until it was read. */
const number = signal<string | null>(null)

function useNumber(store: Store): string {
  useEffect(() => {
    void store.setting(SETTING).then((kept) => {
      number.value ??= kept ?? ''
    })
  }, [store])
  return number.value ?? ''
}

/** A row that calls; none where there is nothing to dial. */
export function CallRow({ says, number }: { says: string; number: string }) {
  if (dialled(number) === '') return null
  return (
    <li>
      <a class="row-key" href={`tel:${dialled(number)}`}>
        <span class="row-words">
          <b>{says}</b>
          <small>{number}</small>
        </span>
      </a>
    </li>
  )
}

/** The customer's number, as it was said when the job was opened; nothing where nobody said one. */
export function CallCustomer({ store, phone }: { store: Store; phone: Ref | null }) {
  return <CallRow says={t(words.callCustomer)} number={useSecret({ store }, phone ?? undefined) ?? ''} />
}

/** A row that calls; without a number, one that leads to where it is typed. */
export function CallOwner({ store }: { store: Store }) {
  const typed = useNumber(store)
  if (dialled(typed) === '') return <RowKey onPress={() => goBay('settings')}>{t(words.noNumberYet)}</RowKey>
  return <CallRow says={t(words.callOwner)} number={typed} />
}

export function OwnersNumber({ store }: { store: Store }) {
  const typed = useNumber(store)
  return (
    <div>
      <EntryLine
        id="telephone"
        label={t(words.ownersNumber)}
        value={typed}
        mode="tel"
        onValue={(text) => {
          number.value = text.slice(0, LONGEST)
          void store.setSetting(SETTING, number.value)
        }}
      />
    </div>
  )
}
