/** The end of a call: what was asked back, what a quote is made of, and the hold that keeps it. */
import { MissingKey } from '../../../parts/keys'
import type { Trouble } from '../../../store'
import { ADVICE_WORDS } from '../../../trade/triage'
import { adviceOf, askedBack, kmOf, nameOf } from '../../../work/enquiry'
import { dialUnitIn, dialWords } from '../../../work/dial-unit'
import type { Rooms } from '../../rooms'
import { BackKey, RecordKey } from '../act-keys'
import { Facts } from '../facts'
import { Frame } from '../frame'
import { Words } from '../free-words'
import { RowKey } from '../rows'
import type { StageProps } from './props'
import { Quote } from '../../quote'
import * as words from '../../../words/en/bay/enquiry/sum'
import * as ofCall from '../../../words/en/work/call'
import { t } from '../../../words/message'

/** What was typed so far, under its name. */
export const typedInCall = ({ phone, customer, plate, code }: StageProps['draft']): [string, string][] => [
  [t(ofCall.telephone), phone],
  [t(ofCall.customer), customer],
  [t(ofCall.plate), plate],
  [t(words.engine), code],
]

interface SumProps extends StageProps {
  rooms: Rooms
  trouble: Trouble | null
  keep: () => Promise<void>
}

export function SumStage({
  draft,
  set,
  back,
  known,
  today,
  rooms,
  bundle,
  verdict,
  trouble,
  keep,
}: SumProps) {
  const asked = askedBack(draft, known, today)
  const km = kmOf(draft.odometer, draft.inMiles)
  const said = ([name, value]: [string, string]): [string, string] => [
    name,
    value.trim() || t(ofCall.notSaid),
  ]
  return (
    <Frame
      title={asked.length ? t(words.isItSo) : t(words.theCall)}
      trouble={trouble}
      side={<BackKey back={back} />}
      main={
        asked.length ? (
          <MissingKey label={t(words.answerAbove)} note={t(words.orGoBack)} />
        ) : (
          <RecordKey label={t(words.keepTheCall)} onHeld={keep} />
        )
      }
    >
      {asked.map(({ code, says }) => (
        <div key={code}>
          <p class="stop-words">{says}</p>
          <ul class="rows">
            <RowKey onPress={() => set({ confirmed: [...draft.confirmed, nameOf(code)] })}>
              {t(words.itIsSo)}
            </RowKey>
          </ul>
        </div>
      ))}
      <Facts
        facts={[
          [t(words.advised), ADVICE_WORDS[adviceOf(draft).advice]],
          ...typedInCall(draft).map(said),
          [t(words.odometer), km === null ? t(ofCall.notSaid) : dialWords(km, dialUnitIn(draft))],
        ]}
      />
      <p>{verdict.says}</p>
      {bundle && <Quote {...rooms} bundle={bundle} />}
      <Words label={t(words.whatElse)} value={draft.words} onValue={(typed) => set({ words: typed })} />
    </Frame>
  )
}
