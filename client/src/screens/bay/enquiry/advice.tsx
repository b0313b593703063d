/** What the caller is told, before anything else is asked: to be read out as it stands. */
import { PlainKey } from '../../../parts/keys'
import { ADVICE_WORDS, REASON_WORDS, TOLD_WORDS } from '../../../trade/triage'
import { adviceOf } from '../../../work/enquiry'
import { AdviceWords } from '../../advice-words'
import { BackKey } from '../act-keys'
import { Frame } from '../frame'
import type { StageProps } from './props'
import * as words from '../../../words/en/bay/enquiry/advice'
import { t } from '../../../words/message'

export function Advice({ draft, on, back }: StageProps) {
  const advice = adviceOf(draft)
  return (
    <Frame
      title={ADVICE_WORDS[advice.advice]}
      side={<BackKey back={back} />}
      main={
        <PlainKey
          label={advice.told.length ? t(words.toldSo) : t(words.goOn)}
          note={t(words.whoCalls)}
          onPress={on}
        />
      }
    >
      <AdviceWords
        advice={{
          because: advice.because.map((code) => REASON_WORDS[code]),
          told: advice.told.map((code) => TOLD_WORDS[code]),
        }}
      />
      <p class="soft">{t(words.othersComeFirst)}</p>
    </Frame>
  )
}
