/** What is asked on the telephone and answered by one tap, or by some. */
import { ASKS, NOTICED_WORDS } from '../../../trade/triage'
import { placeSaid } from '../../../work/enquiry-stages'
import {
  ANSWER_WORDS,
  ASK_WORDS,
  PLACE_WORDS,
  SEVERE_WORDS,
  type Question,
} from '../../../work/enquiry-words'
import { RowKey } from '../rows'
import { Stage } from '../stage'
import type { StageProps } from './props'
import * as words from '../../../words/en/bay/enquiry/choices'
import { t } from '../../../words/message'

/** A tap answers and goes on: nothing is signed here, and the way back is open. */
export function AskStage({ ask, draft, choose, on, back }: StageProps & { ask: Question }) {
  const chosen = draft.said[ask]
  return (
    <Stage
      title={ASK_WORDS[ask]}
      wants={chosen === undefined ? { label: t(words.chooseAbove), note: t(words.askTheCaller) } : null}
      label={chosen === undefined ? '' : (ANSWER_WORDS[chosen] ?? chosen)}
      on={on}
      back={back}
    >
      <ul class="rows" aria-label={ASK_WORDS[ask]}>
        {ASKS[ask].map((answer) => (
          <RowKey
            key={answer}
            pressed={chosen === answer}
            onPress={() => choose({ said: { ...draft.said, [ask]: answer } })}
          >
            {ANSWER_WORDS[answer]}
          </RowKey>
        ))}
      </ul>
    </Stage>
  )
}

const toggled = (all: readonly string[], one: string) =>
  all.includes(one) ? all.filter((each) => each !== one) : [...all, one]

export function NoticedStage({ draft, set, on, back }: StageProps) {
  const n = draft.noticed.length
  return (
    <Stage
      title={t(words.whatWasNoticed)}
      label={n ? t(words.noticed, { n }) : t(words.nothing)}
      on={on}
      back={back}
    >
      <ul class="fours signs" aria-label={t(words.whatWasNoticed)}>
        {Object.entries(NOTICED_WORDS).map(([sign, says]) => (
          <RowKey
            key={sign}
            pressed={draft.noticed.includes(sign)}
            onPress={() => set({ noticed: toggled(draft.noticed, sign) })}
          >
            {says}
          </RowKey>
        ))}
      </ul>
    </Stage>
  )
}

export function PlaceStage({ draft, set, choose, back }: StageProps) {
  const { said } = draft
  const chosen = PLACE_WORDS.map(([id]) => id).filter((id) => said[id] === 'yes')
  return (
    <Stage
      title={t(words.whatIsItLike)}
      label={chosen.length ? t(words.soItIs) : t(words.noneOfThese)}
      on={() => choose({ said: { ...said, ...placeSaid(chosen) } })}
      back={back}
    >
      <ul class="rows" aria-label={t(words.whatIsItLike)}>
        {PLACE_WORDS.map(([id, says]) => (
          <RowKey
            key={id}
            pressed={chosen.includes(id)}
            onPress={() => set({ said: { ...said, ...placeSaid(toggled(chosen, id)) } })}
          >
            {says}
          </RowKey>
        ))}
      </ul>
    </Stage>
  )
}

export function SevereStage({ draft, choose, on, back, interval }: StageProps) {
  return (
    <Stage title={t(words.howIsItUsed)} label={t(words.onward)} note={t(words.isItDue)} on={on} back={back}>
      <ul class="rows" aria-label={t(words.howIsItUsed)}>
        {SEVERE_WORDS.map(([severe, says, note]) => (
          <RowKey
            key={severe}
            pressed={draft.severe === severe}
            {...(note === '' ? {} : { note })}
            onPress={() => choose({ severe })}
          >
            {says}
          </RowKey>
        ))}
      </ul>
      <p class="soft">
        {interval
          ? t(words.intervalOfProcedure, { months: interval.months ?? 0, km: interval.km ?? 0 })
          : t(words.makerSaysHowMuch)}
      </p>
    </Stage>
  )
}
