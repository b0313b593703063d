/** The workshop's ledger as this browser has seen it grow, and what that proves. */
import type { CheckpointAnswer } from '../../ledger/answers'
import { useAsked } from '../office/from-server'
import { PageHead, TroubleLine } from '../office/shell'
import type { Rooms } from '../rooms'

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
      <PageHead>
        {alarm ? 'The ledger does not follow what was seen before' : 'The ledger has only grown'}
      </PageHead>
      <TroubleLine trouble={answer && !answer.ok ? answer.trouble : null} />
      {head && (
        <dl class="facts-list">
          <dt>Records</dt>
          <dd>{head.size}</dd>
          <dt>Root</dt>
          <dd class="hash">{head.root}</dd>
          <dt>Workshop</dt>
          <dd class="hash">{rooms.store.device.value?.workshop}</dd>
        </dl>
      )}
      <div class="two-lists d-text">
        <section>
          <h2 class="phase-head">What this shows</h2>
          <ul>
            <li>
              Each head that this browser was shown was checked against the one before: the older ledger is
              the start of the newer one.
            </li>
            <li>Each head is signed with the key whose fingerprint stands on the workshop's paper.</li>
            <li>Each entry that is shown was signed by the key of the device it names.</li>
          </ul>
        </section>
        <section>
          <h2 class="phase-head">What it does not show</h2>
          <ul>
            <li>That what was signed is true: it was recorded by a device's key.</li>
            <li>Who held the device.</li>
            <li>
              When something happened before the workshop received it: until then only the device's own clock
              says so.
            </li>
            <li>
              That another person was shown the same ledger: compare a root with somebody else's, or with a
              hand-over sheet.
            </li>
          </ul>
        </section>
      </div>
    </>
  )
}
