/** The last screen before a job is opened: what does not fit is asked, who the customer is may be said. */
import { HoldKey, MissingKey, PlainKey } from '../../parts/keys'
import { dialUnitIn, dialWords } from '../../work/dial-unit'
import type { Doubt } from '../../work/opening'
import { BackKey } from './act-keys'
import { Cautions } from './cautions'
import { CustomerLines } from './customer-lines'
import { Facts } from './facts'
import { Frame } from './frame'
import { kmOf, type Stage, type StageProps } from './open-draft'
import { RowKey } from './rows'
import * as words from '../../words/en/bay/open-end'
import * as state from '../../words/en/work/state'
import { t } from '../../words/message'

export function CustomerStage({ draft, set, on, back }: StageProps) {
  return (
    <Frame
      title={t(words.customerTitle)}
      side={<BackKey back={back} />}
      main={<PlainKey label={t(words.toTheVehicle)} onPress={on} />}
    >
      <CustomerLines of={draft} set={set} />
    </Frame>
  )
}

/** What does not fit what stands is asked, and each answer is one tap. */
function Doubts({ doubts, draft, set }: { doubts: readonly Doubt[] } & Pick<StageProps, 'draft' | 'set'>) {
  return doubts.map(({ name, says, answers }) => (
    <section key={name}>
      <p class="stop-words">{says}</p>
      <ul class="rows" aria-label={says}>
        {answers.map((answer) => (
          <RowKey
            key={answer}
            pressed={draft.answers[name] === answer}
            onPress={() => set({ answers: { ...draft.answers, [name]: answer } })}
          >
            {answer}
          </RowKey>
        ))}
      </ul>
    </section>
  ))
}

interface SumProps extends StageProps {
  open: () => Promise<void>
  cautions: readonly string[]
  doubts: readonly Doubt[]
  goTo: (stage: Stage) => void
}

export function SumStage({ draft, set, back, trouble, open, cautions, doubts, goTo }: SumProps) {
  const isAsked = doubts.some(({ name }) => draft.answers[name] === undefined)
  return (
    <Frame
      title={isAsked ? t(words.whichIsTrue) : t(words.confirmTitle)}
      trouble={trouble}
      side={<BackKey back={back} />}
      main={
        isAsked ? (
          <MissingKey label={t(words.answerAbove)} note={t(words.orGoBack)} />
        ) : (
          <HoldKey label={t(words.openTheJob)} done={t(words.onThisPhone)} onHeld={open} />
        )
      }
    >
      <Doubts doubts={doubts} draft={draft} set={set} />
      <Facts
        facts={[
          [t(words.vinLabel), draft.vin],
          [t(words.plateLabel), draft.plate],
          [t(words.odometerLabel), dialWords(kmOf(draft), dialUnitIn(draft))],
          [t(words.engineLabel), draft.code],
          [
            t(words.procedureLabel),
            t(state.edition, { name: draft.bundle?.name ?? '', edition: draft.bundle?.edition ?? '' }),
          ],
          [t(words.standsAt), draft.bay],
        ]}
      />
      <ul class="fours" aria-label={t(words.change)}>
        <RowKey note={draft.customer || t(words.notNamed)} onPress={() => goTo('customer')}>
          {t(words.customerTitle)}
        </RowKey>
        <RowKey note={dialWords(kmOf(draft), dialUnitIn(draft))} onPress={() => goTo('odometer')}>
          {t(words.odometer)}
        </RowKey>
      </ul>
      <Cautions cautions={cautions} />
      <p class="soft">{t(words.privateValues)}</p>
    </Frame>
  )
}
