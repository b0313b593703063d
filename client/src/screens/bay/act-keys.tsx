/** Keys that many screens of the bay have alike. */
import type { ComponentChildren } from 'preact'
import { HoldKey, SideKey } from '../../parts/keys'
import * as words from '../../words/en/bay/act-keys'
import { t } from '../../words/message'
import type { InJob } from './in-job'

/** To the screen before: nothing was done here. */
export const BackKey = ({ back }: { back: () => void }) => (
  <SideKey icon="back" label={t(words.back)} onPress={back} />
)

/** The same out of an act that has a price. */
export const NoBackKey = ({ back }: { back: () => void }) => (
  <SideKey icon="back" label={t(words.noBack)} onPress={back} />
)

/** To all steps of the job. */
export const OrderKey = ({ to }: Pick<InJob, 'to'>) => (
  <SideKey icon="lines" label={t(words.orderOfWork)} onPress={() => to('order')} />
)

interface NotLikeThatProps {
  /** To the step's failures; null where it has none. */
  fail: (() => void) | null
  /** The side key where it has none. */
  instead: ComponentChildren
}

export const NotLikeThat = ({ fail, instead }: NotLikeThatProps) =>
  fail ? <SideKey icon="not" label={t(words.notLikeThat)} onPress={fail} /> : instead

interface RecordKeyProps {
  label: string
  note?: string
  onHeld: () => Promise<void>
}

/** Held until what it says is on this phone. */
export const RecordKey = ({ label, note, onHeld }: RecordKeyProps) => (
  <HoldKey
    label={label}
    {...(note === undefined ? {} : { note })}
    done={t(words.onThisPhone)}
    onHeld={onHeld}
  />
)
