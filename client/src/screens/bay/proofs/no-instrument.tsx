/** An instrument that cannot be used here: why, and the next way; or what to do where there is none. */
import { PlainKey } from '../../../parts/keys'
import { RowKey } from '../rows'
import { Frame } from '../frame'
import { OtherWayKey } from './other-way'
import type { WayProps } from './props'
import * as words from '../../../words/en/bay/proofs/no-instrument'
import { t } from '../../../words/message'
import { BackKey, NotLikeThat } from '../act-keys'

interface NoWayProps {
  of: WayProps
  trouble: { code: string; message: string; hint: string }
  /** Try the instrument again; null where that is of no use. */
  again: (() => void) | null
}

export function NoWay({ of, trouble, again }: NoWayProps) {
  const { next, fail } = of
  const alone = t(words.noOtherWay)
  const main = next ? (
    <OtherWayKey next={next} />
  ) : again ? (
    <PlainKey label={t(words.tryItAgain)} onPress={again} />
  ) : (
    <PlainKey label={t(words.backToTheStep)} onPress={of.back} />
  )
  return (
    <Frame
      head={of.head}
      title={of.proof.label}
      trouble={next ? trouble : { ...trouble, hint: '' }}
      side={<NotLikeThat fail={next ? null : fail} instead={<BackKey back={of.back} />} />}
      main={main}
    >
      {!next && <p>{alone}</p>}
      {next && again && (
        <ul class="rows">
          <RowKey onPress={again}>{t(words.tryItAgain)}</RowKey>
        </ul>
      )}
    </Frame>
  )
}
