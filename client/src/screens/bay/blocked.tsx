import { PlainKey, SideKey } from '../../parts/keys'
import type { HeadProps } from '../../parts/head'
import type { Store } from '../../store'
import { CallOwner } from './call'
import { Frame } from './frame'
import * as words from '../../words/en/bay/blocked'
import { t } from '../../words/message'

/** No way on: a right end is still one, and the owner decides. */
export function Blocked({
  head,
  store,
  why,
  note,
  order,
}: {
  head: HeadProps
  store: Store
  why: string
  note: () => void
  order: () => void
}) {
  return (
    <Frame
      head={head}
      title={t(words.noWayOn)}
      side={<SideKey icon="pen" label={t(words.addANote)} onPress={note} />}
      main={<PlainKey label={t(words.orderOfWork)} note={t(words.orCloseTheJob)} onPress={order} />}
    >
      <p>{why}</p>
      <p>{t(words.callOwner)}</p>
      <ul class="rows">
        <CallOwner store={store} />
      </ul>
    </Frame>
  )
}
