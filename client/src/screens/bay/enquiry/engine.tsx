/** The engine's code, where the caller can say it: the papers have it, and the block itself is read when the vehicle comes. */
import { PlainKey } from '../../../parts/keys'
import { newestByCode } from '../../../work/offered'
import { BackKey } from '../act-keys'
import { Frame } from '../frame'
import { RowKey } from '../rows'
import type { StageProps } from './props'
import * as words from '../../../words/en/bay/enquiry/engine'
import * as state from '../../../words/en/work/state'
import { t } from '../../../words/message'

export function EngineStage({ draft, choose, on, back, bundles }: StageProps) {
  return (
    <Frame
      title={t(words.engineCode)}
      side={<BackKey back={back} />}
      main={<PlainKey label={draft.code || t(words.notKnown)} note={t(words.goOn)} onPress={on} />}
    >
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
    </Frame>
  )
}
