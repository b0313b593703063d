/** The workshop's ledger as this browser has seen it grow, and what that proves. */
import type { CheckpointAnswer } from '../../ledger/answers'
import { useAsked } from '../office/from-server'
import { PageHead, TroubleLine } from '../office/shell'
import type { Rooms } from '../rooms'
import * as words from '../../words/en/audit/ledger'
import { t } from '../../words/message'

/** Size and root of a checkpoint's text (C2SP tlog-checkpoint: origin, size, root, one a line). */
export function headOf(checkpoint: string): { size: string; root: string } {
  const [, size = '', root = ''] = checkpoint.split('\n')
  return { size, root }
}

export function Ledger(rooms: Rooms) {
  const answer = useAsked<CheckpointAnswer>(rooms, '/api/checkpoint')
  const alarm = rooms.sync.alarm.value
  const head = answer?.ok ? headOf(answer.value.checkpoint) : null
  return (
    <>
      <PageHead>{alarm ? t(words.ledgerDoesNotFollowWhat) : t(words.ledgerHasOnlyGrown)}</PageHead>
      <TroubleLine trouble={answer && !answer.ok ? answer.trouble : null} />
      {head && (
        <dl class="facts-list">
          <dt>{t(words.records)}</dt>
          <dd>{head.size}</dd>
          <dt>{t(words.root)}</dt>
          <dd class="hash">{head.root}</dd>
          <dt>{t(words.workshop)}</dt>
          <dd class="hash">{rooms.store.device.value?.workshop}</dd>
        </dl>
      )}
      <div class="two-lists d-text">
        <section>
          <h2 class="phase-head">{t(words.whatThisShows)}</h2>
          <ul>
            <li>{t(words.eachHeadThatThisBrowser)}</li>
            <li>{t(words.eachHeadIsSigned)}</li>
            <li>{t(words.eachEntryThatIsShown)}</li>
          </ul>
        </section>
        <section>
          <h2 class="phase-head">{t(words.whatItDoesNotShow)}</h2>
          <ul>
            <li>{t(words.thatWhatWasSigned)}</li>
            <li>{t(words.whoHeldTheDevice)}</li>
            <li>{t(words.whenSomethingHappenedBefore)}</li>
            <li>{t(words.thatAnotherPersonWasShown)}</li>
          </ul>
        </section>
      </div>
    </>
  )
}
