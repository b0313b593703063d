/** The engine's code, where the caller can say it: the papers have it, and the block itself is read when the vehicle comes. */
import { newestByCode } from '../../../work/offered'
import { RowKey } from '../rows'
import { Stage } from '../stage'
import type { StageProps } from './props'
import * as words from '../../../words/en/bay/enquiry/engine'
import * as state from '../../../words/en/work/state'
import { t } from '../../../words/message'

export function EngineStage({ draft, choose, on, back, bundles }: StageProps) {
  return (
    <Stage title={t(words.engineCode)} label={draft.code || t(words.notKnown)} on={on} back={back}>
      <ul class="rows" aria-label={t(words.engineCode)}>
        {newestByCode(bundles).map(({ code, bundle }) => (
          <RowKey
            key={`${code} ${bundle.bundle}`}
            pressed={draft.code === code}
            note={t(state.edition, { name: bundle.name, edition: bundle.edition })}
            onPress={() => choose({ code })}
          >
            <b>{code}</b>
          </RowKey>
        ))}
        <RowKey pressed={draft.code === ''} onPress={() => choose({ code: '' })}>
          {t(words.anotherOrUnknown)}
        </RowKey>
      </ul>
    </Stage>
  )
}
