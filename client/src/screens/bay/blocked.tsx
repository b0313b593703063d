import { PlainKey, SideKey } from '../../parts/keys'
import type { HeadProps } from '../../parts/head'
import { Frame } from './frame'
import * as words from '../../words/en/bay/blocked'
import { t } from '../../words/message'

/** No way on: a right end is still one, and the owner decides. */
export function Blocked({
  head,
  why,
  note,
  order,
}: {
  head: HeadProps
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
    </Frame>
  )
}
