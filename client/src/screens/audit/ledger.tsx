/** The workshop's ledger as this browser has seen it grow, and what that proves. */
import type { CheckpointAnswer } from '../../ledger/answers'
import type { Answer } from '../../sync'
import { useAsked } from '../office/from-server'
import { PageHead, TroubleLine } from '../office/shell'
import type { Rooms } from '../rooms'
import { saveFile } from '../save-file'
import { TextKey } from '../text-key'
import * as words from '../../words/en/audit/ledger'
import { t } from '../../words/message'

/** Size and root of a checkpoint's text (C2SP tlog-checkpoint: origin, size, root, one a line). */
export function headOf(checkpoint: string): { size: string; root: string } {
  const [, size = '', root = ''] = checkpoint.split('\n')
  return { size, root }
}

/** The signed note as it came: what is proven later is proven against its bytes. */
const keep = (checkpoint: string, size: string) =>
  saveFile(new Blob([checkpoint], { type: 'text/plain' }), t(words.fileName, { size }))

/** No more is said than is known: without an answer nothing of the ledger as it is now. */
function titleOf(isAlarmed: boolean, answer: Answer<CheckpointAnswer> | null): string {
  if (isAlarmed) return t(words.notGrown)
  if (answer === null) return t(words.asking)
  return answer.ok ? t(words.onlyGrown) : t(words.noAnswer)
}

export function Ledger(rooms: Rooms) {
  const answer = useAsked<CheckpointAnswer>(rooms, '/api/checkpoint')
  const alarm = rooms.sync.alarm.value
  const head = answer?.ok ? headOf(answer.value.checkpoint) : null
  return (
    <>
      <PageHead>{titleOf(alarm !== null, answer)}</PageHead>
      <TroubleLine trouble={answer && !answer.ok ? answer.trouble : null} />
      {head && answer?.ok && (
        <>
          <dl class="facts-list">
            <dt>{t(words.records)}</dt>
            <dd>{head.size}</dd>
            <dt>{t(words.root)}</dt>
            <dd class="hash">{head.root}</dd>
            <dt>{t(words.workshop)}</dt>
            <dd class="hash">{rooms.store.device.value?.workshop}</dd>
          </dl>
          <p class="under-list">
            <TextKey says={t(words.keep)} onPress={() => keep(answer.value.checkpoint, head.size)} />
          </p>
          <p class="d-text">{t(words.keepMeans)}</p>
        </>
      )}
      <div class="two-lists d-text">
        <section>
          <h2 class="phase-head">{alarm ? t(words.whatToDo) : t(words.shows)}</h2>
          <ul>
            {alarm ? (
              <>
                <li>{t(words.writeDown)}</li>
                <li>{t(words.askWhy)}</li>
                <li>{t(words.takeNothing)}</li>
              </>
            ) : (
              <>
                <li>{t(words.headsFollow)}</li>
                <li>{t(words.headsSigned)}</li>
              </>
            )}
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
