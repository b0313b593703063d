/** One of a line of questions: what is asked, and a key that says the answer and leads on, or what it still wants. */
import type { ComponentChildren } from 'preact'
import { MissingKey, PlainKey } from '../../parts/keys'
import type { Trouble } from '../../store'
import * as words from '../../words/en/bay/stage'
import { t } from '../../words/message'
import { BackKey } from './act-keys'
import { Frame } from './frame'
import { RowKey } from './rows'

export interface AskedProps {
  title: string
  trouble?: Trouble | null
  /** What the answer lacks, or what is wrong with it; null where it may go on. */
  wants?: { label: string; note?: string } | null
  /** The answer, as the key says it. */
  label: string
  note?: string
  on: () => void
  back: () => void
  children?: ComponentChildren
}

export function Stage({ title, trouble, wants = null, back, children, ...asked }: AskedProps) {
  const { label, note = t(words.goOn), on } = asked
  return (
    <Frame
      title={title}
      trouble={trouble}
      side={<BackKey back={back} />}
      main={wants ? <MissingKey {...wants} /> : <PlainKey label={label} note={note} onPress={on} />}
    >
      {children}
    </Frame>
  )
}

interface MilesProps {
  inMiles: boolean
  set: (part: { inMiles: boolean }) => void
}

/** Whether an odometer that is typed counts miles. */
export const MilesRow = ({ inMiles, set }: MilesProps) => (
  <ul class="rows">
    <RowKey pressed={inMiles} onPress={() => set({ inMiles: !inMiles })}>
      {t(words.inMiles)}
    </RowKey>
  </ul>
)
