/** The calls that no job was opened for, among the rows of the first screen, and the row that takes one. */
import { useEffect, useState } from 'preact/hooks'
import type { Store } from '../../../store'
import { enquiries } from '../../../work/enquiries'
import { enquiryWords } from '../../../work/enquiry'
import { reading } from '../../reading'
import { draftSince } from '../drafts'
import { goBay } from '../nav'
import { sinceWords } from '../not-kept'
import { RowKey } from '../rows'
import * as words from '../../../words/en/bay/enquiry/calls'
import { t } from '../../../words/message'

interface Line {
  job: string
  name: string
  says: string
}

async function load(store: Store): Promise<Line[]> {
  const open = (await enquiries(store)).filter(({ declined }) => declined === null)
  return Promise.all(
    open.map(async ({ job, body, declined }) => {
      const [plate, customer] = await Promise.all(
        [body.plate, body.customer].map((ref) => (ref ? store.secretValue(ref) : null)),
      )
      return { job, name: plate ?? customer ?? t(words.somebody), says: enquiryWords(body, declined) }
    }),
  )
}

export function Calls({ store }: { store: Store }) {
  const [lines, setLines] = useState<readonly Line[]>([])
  const changed = store.changed.value
  const since = draftSince('call', '')
  useEffect(() => reading(load(store), setLines), [store, changed])
  return (
    <>
      {lines.map(({ job, name, says }) => (
        <RowKey key={job} note={says} onPress={() => goBay('call', job)}>
          {t(words.call, { name })}
        </RowKey>
      ))}
      <RowKey
        note={since === null ? t(words.takeACallNote) : sinceWords(since)}
        onPress={() => goBay('call')}
      >
        {t(words.takeACall)}
      </RowKey>
    </>
  )
}
