/** Something was begun and is not kept: it is gone on with, or thrown away; what was typed of one vehicle is never taken for another's. */
import { useState } from 'preact/hooks'
import { HoldKey, PlainKey } from '../../parts/keys'
import { BackKey } from './act-keys'
import { Facts } from './facts'
import { Frame } from './frame'
import { sinceWords } from './not-kept'
import { RowKey } from './rows'
import * as words from '../../words/en/bay/resume-draft'
import { t } from '../../words/message'

interface ResumeProps {
  title: string
  since: string
  /** What was typed, under its name; what is empty is left out. */
  typed: readonly (readonly [name: string, value: string])[]
  goOn: () => void
  throwAway: () => void
  back: () => void
}

/** Asks about what was begun at `since`, if `mayAsk` holds when the screen comes up; null once it is answered. */
export function useResume(since: string | null, mayAsk: boolean) {
  const [isAsked, setAsked] = useState(since !== null && mayAsk)
  if (!isAsked || since === null) return null
  const answered = (act: () => void) => () => {
    setAsked(false)
    act()
  }
  return ({ goOn, throwAway, ...said }: Omit<ResumeProps, 'since'>) => (
    <ResumeDraft {...said} since={since} goOn={answered(goOn)} throwAway={answered(throwAway)} />
  )
}

function ResumeDraft({ title, since, typed, goOn, throwAway, back }: ResumeProps) {
  const [isLetGo, setLetGo] = useState(false)
  return (
    <Frame
      title={title}
      side={<BackKey back={back} />}
      main={
        isLetGo ? (
          <HoldKey
            label={t(words.throwAway)}
            note={t(words.thenAnew)}
            done={t(words.isGone)}
            onHeld={async () => throwAway()}
          />
        ) : (
          <PlainKey label={t(words.goOn)} note={t(words.whereItStood)} onPress={goOn} />
        )
      }
    >
      <p>{sinceWords(since)}</p>
      <Facts facts={typed.filter(([, value]) => value.trim() !== '')} />
      <ul class="rows">
        <RowKey pressed={isLetGo} note={t(words.throwAwayNote)} onPress={() => setLetGo(!isLetGo)}>
          {t(words.throwAway)}
        </RowKey>
      </ul>
    </Frame>
  )
}
