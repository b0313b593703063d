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
      <PageHead>{alarm ? t(words.notGrown) : t(words.onlyGrown)}</PageHead>
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
          <h2 class="phase-head">{t(words.shows)}</h2>
          <ul>
            <li>{t(words.headsFollow)}</li>
            <li>{t(words.headsSigned)}</li>
            <li>{t(words.entriesSigned)}</li>
          </ul>
        </section>
        <section>
          <h2 class="phase-head">{t(words.showsNot)}</h2>
          <ul>
            <li>{t(words.notTruth)}</li>
            <li>{t(words.notHolder)}</li>
            <li>{t(words.notTime)}</li>
            <li>{t(words.notSameForAll)}</li>
          </ul>
        </section>
      </div>
    </>
  )
}
