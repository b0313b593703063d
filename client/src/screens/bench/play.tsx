/** A finding's way there, deed by deed, on the drawing that the phone shows. */
import { useState } from 'preact/hooks'
import type { FindingAnswer } from '../../ledger/answers'
import { Drive } from '../../parts/drive'
import { driveState } from '../../parts/drive-words'
import type { Bundle } from '../../procedure/bundle'
import { drawnAlong } from '../../work/walked'
import { TextKey } from '../text-key'
import * as words from '../../words/en/bench/play'
import { t } from '../../words/message'

export function Play({
  bundle,
  finding,
  leave,
}: {
  bundle: Bundle
  finding: FindingAnswer
  leave: () => void
}) {
  const [at, setAt] = useState(finding.way.length)
  const states = drawnAlong(bundle, finding.way)
  const tags = Object.fromEntries(
    bundle.tools.flatMap(({ slot, tag }) => (tag === undefined ? [] : [[slot, tag]])),
  )
  return (
    <section class="bench-play" aria-label={t(words.theWayThere)}>
      <h2 class="step-phase">{t(words.theWayThere)}</h2>
      <Drive
        drive={bundle.drive}
        state={driveState(bundle.drive, states[at]!)}
        tags={tags}
        width={380}
        height={300}
      />
      <p class="step-acts">
        <TextKey says={t(words.back)} disabled={at === 0} onPress={() => setAt(at - 1)} />
        <button
          type="button"
          class="text-key"
          disabled={at === finding.way.length}
          onClick={() => setAt(at + 1)}
        >
          {t(words.next)}
        </button>
        <TextKey says={t(words.thePhone)} onPress={leave} />
      </p>
      <p role="status">{at === 0 ? t(words.atTheStart) : t(words.deedOf, { at, all: finding.way.length })}</p>
      <ol class="bench-way">
        {finding.sequence.map((deed, nth) => (
          <li key={nth} {...(nth + 1 === at ? { 'aria-current': 'step' as const } : {})}>
            <button type="button" onClick={() => setAt(nth + 1)}>
              {deed}
            </button>
          </li>
        ))}
      </ol>
      <p class="d-text">
        <b>{finding.message}</b>
      </p>
    </section>
  )
}
