/** Keys that many screens of the bay have alike. */
import type { ComponentChildren } from 'preact'
import { HoldKey, SideKey } from '../../parts/keys'
import * as words from '../../words/en/bay/act-keys'
import { t } from '../../words/message'

/** To the screen before: nothing was done here. */
export const BackKey = ({ back }: { back: () => void }) => (
  <SideKey icon="back" label={t(words.back)} onPress={back} />
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
