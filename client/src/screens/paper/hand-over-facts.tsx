/** What the customer is told, on the phone, before the signature: the same rows as on the sheet. No line is waited for. */
import type { Ref } from '../../ledger/bodies'
import { handOver } from '../../work/hand-over'
import type { JobNow } from '../../work/job'
import { jobRecord } from '../../work/record'
import type { Held } from '../../store'
import type { Rooms } from '../rooms'
import { useSecret } from '../secret'
import { handedBy } from './by'
import { SheetRows } from './sheet-rows'
import * as words from '../../words/en/paper/hand-over-facts'
import { t } from '../../words/message'

type Here = Pick<Rooms, 'store'>

export function HandOverFacts({
  now: { row, bundle, held },
  statements,
  store,
}: Here & { now: JobNow; statements: readonly Held[] }) {
  const record = jobRecord(row, bundle, held, statements)
  return (
    <div class="sheet-on-phone">
      <SheetRows
        rows={handOver(record, handedBy({ store }))}
        wordsOf={({ value }) => value && <Kept store={store} of={value} />}
      />
    </div>
  )
}

const Kept = ({ store, of }: Here & { of: Ref }) => <>{useSecret({ store }, of) ?? t(words.notHere)}</>
