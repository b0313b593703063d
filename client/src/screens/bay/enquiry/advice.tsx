/** What the caller is told, before anything else is asked: to be read out as it stands. */
import { ADVICE_WORDS, REASON_WORDS, TOLD_WORDS } from '../../../trade/triage'
import { adviceOf } from '../../../work/enquiry'
import { AdviceWords } from '../../advice-words'
import { Stage } from '../stage'
import type { StageProps } from './props'
import * as words from '../../../words/en/bay/enquiry/advice'
import { t } from '../../../words/message'

export function Advice({ draft, on, back }: StageProps) {
  const advice = adviceOf(draft)
  return (
    <Stage
      title={ADVICE_WORDS[advice.advice]}
      label={advice.told.length ? t(words.toldSo) : t(words.goOn)}
      note={t(words.whoCalls)}
      on={on}
      back={back}
    >
      <AdviceWords
        advice={{
          because: advice.because.map((code) => REASON_WORDS[code]),
          told: advice.told.map((code) => TOLD_WORDS[code]),
        }}
      />
      <p class="soft">{t(words.othersComeFirst)}</p>
    </Stage>
  )
}
