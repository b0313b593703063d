/** Is it due: the verdict, what it rests on, and the words in which the customer is warned. */
import type { Verdict } from '../../../trade/belt-due'
import { dialled } from '../../../work/telephone'
import { type DialUnit, dialUnitIn, dialWords } from '../../../work/dial-unit'
import { dayWords } from '../../../work/format'
import { Facts } from '../facts'
import { Stage } from '../stage'
import type { StageProps } from './props'
import * as words from '../../../words/en/bay/enquiry/due'
import { t } from '../../../words/message'

export function dueFacts({ limit, found }: Verdict, unit: DialUnit): [string, string][] {
  return [
    ...(limit.km === null ? [] : [[t(words.dueAt), dialWords(limit.km, unit)] as [string, string]]),
    ...(limit.on === null ? [] : [[t(words.dueOn), dayWords(limit.on)] as [string, string]]),
    ...(found?.km_a_day == null
      ? []
      : [[t(words.driven), t(words.kmADay, { km: found.km_a_day })] as [string, string]]),
  ]
}

/** The phone's own messages, with the words in them (RFC 5724): nothing is sent by this app. */
function SendWarning({ phone, warned }: { phone: string; warned: string }) {
  if (dialled(phone) === '') return <p class="soft">{t(words.noNumber)}</p>
  return (
    <ul class="rows">
      <li>
        <a class="row-key" href={`sms:${dialled(phone)}?body=${encodeURIComponent(warned)}`}>
          <span class="row-words">
            <b>{t(words.sendIt)}</b>
            <small>{phone}</small>
          </span>
        </a>
      </li>
    </ul>
  )
}

/** The words in which the customer is warned, and the way to send them. */
export const Warning = ({ title, ...sent }: { title: string; phone: string; warned: string }) => (
  <>
    <h2>{title}</h2>
    <p>{sent.warned}</p>
    <SendWarning {...sent} />
  </>
)

export function DueStage({ draft, on, back, verdict, warned }: StageProps) {
  return (
    <Stage
      title={t(words.titles[verdict.code])}
      label={warned === null ? t(words.goOn) : t(words.warnedSo)}
      note={t(words.toTheEnd)}
      on={on}
      back={back}
    >
      <p class="reason">{verdict.says}</p>
      <Facts facts={dueFacts(verdict, dialUnitIn(draft))} />
      {verdict.found?.oddities.map(({ code, says }) => (
        <p key={code} class="soft">
          {says}
        </p>
      ))}
      {warned !== null && <Warning title={t(words.warnInWriting)} phone={draft.phone} warned={warned} />}
      <p class="soft">{t(words.makersDataDecide)}</p>
    </Stage>
  )
}
