import { PlainKey, SideKey } from '../../parts/keys'
import type { HeadProps } from '../../parts/head'
import { Frame } from './frame'

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
      title="There is no way on from here"
      deck={
        <>
          <SideKey icon="pen" label="add a note" onPress={note} />
          <PlainKey label="Order of work" note="or close the job" onPress={order} />
        </>
      }
    >
      <p>{why}</p>
      <p>The owner decides how it goes on. Call the owner before anything else is moved.</p>
    </Frame>
  )
}
