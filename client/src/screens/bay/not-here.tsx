/** A job that cannot be worked on here yet, and what helps. */
import { PlainKey, SideKey } from '../../parts/keys'
import { Frame } from './frame'
import { goBay } from './nav'
import * as words from '../../words/en/bay/not-here'
import { t } from '../../words/message'

export type Lacking = 'none' | 'no-bundle' | 'newer'

const LACKING: Record<Lacking, readonly [title: string, what: string]> = {
  none: [t(words.jobMissing), t(words.jobMissingHint)],
  'no-bundle': [t(words.procedureMissing), t(words.procedureMissingHint)],
  newer: [t(words.appTooOld), t(words.appTooOldHint)],
}

export function NotHere({ what }: { what: Lacking }) {
  const [title, says] = LACKING[what]
  return (
    <Frame
      title={title}
      side={<SideKey icon="lines" label={t(words.allJobs)} onPress={() => goBay()} />}
      main={<PlainKey label={t(words.whereItAllIs)} onPress={() => goBay('places')} />}
    >
      <p>{says}</p>
    </Frame>
  )
}
