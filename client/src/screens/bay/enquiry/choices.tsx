/** What is asked on the telephone and answered by one tap, or by some. */
import { PlainKey, MissingKey } from '../../../parts/keys'
import { ASKS, NOTICED_WORDS } from '../../../trade/triage'
import { placeSaid } from '../../../work/enquiry-stages'
import {
  ANSWER_WORDS,
  ASK_WORDS,
  PLACE_WORDS,
  SEVERE_WORDS,
  type Question,
} from '../../../work/enquiry-words'
import { BackKey } from '../act-keys'
import { Frame } from '../frame'
import { RowKey } from '../rows'
import type { StageProps } from './props'
import * as words from '../../../words/en/bay/enquiry/choices'
import { t } from '../../../words/message'

/** A tap answers and goes on: nothing is signed here, and the way back is open. */
export function AskStage({ ask, draft, choose, on, back }: StageProps & { ask: Question }) {
  const chosen = draft.said[ask]
  return (
    <Frame
      title={ASK_WORDS[ask]}
      side={<BackKey back={back} />}
      main={
        chosen === undefined ? (
          <MissingKey label={t(words.chooseAbove)} note={t(words.askTheCaller)} />
        ) : (
          <PlainKey label={ANSWER_WORDS[chosen] ?? chosen} note={t(words.goOn)} onPress={on} />
        )
      }
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
    </Frame>
  )
}

const toggled = (all: readonly string[], one: string) =>
  all.includes(one) ? all.filter((each) => each !== one) : [...all, one]

export function NoticedStage({ draft, set, on, back }: StageProps) {
  const n = draft.noticed.length
  return (
    <Frame
      title={t(words.whatWasNoticed)}
      side={<BackKey back={back} />}
      main={
        <PlainKey label={n ? t(words.noticed, { n }) : t(words.nothing)} note={t(words.goOn)} onPress={on} />
      }
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
    </Frame>
  )
}

export function PlaceStage({ draft, set, choose, back }: StageProps) {
  const { said } = draft
  const chosen = PLACE_WORDS.map(([id]) => id).filter((id) => said[id] === 'yes')
  return (
    <Frame
      title={t(words.whatIsItLike)}
      side={<BackKey back={back} />}
      main={
        <PlainKey
          label={chosen.length ? t(words.soItIs) : t(words.noneOfThese)}
          note={t(words.goOn)}
          onPress={() => choose({ said: { ...said, ...placeSaid(chosen) } })}
        />
      }
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
    </Frame>
  )
}

export function SevereStage({ draft, choose, on, back, interval }: StageProps) {
  return (
    <Frame
      title={t(words.howIsItUsed)}
      side={<BackKey back={back} />}
      main={<PlainKey label={t(words.goOn)} note={t(words.isItDue)} onPress={on} />}
    >
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
    </Frame>
  )
}
