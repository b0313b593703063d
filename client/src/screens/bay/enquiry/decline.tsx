/** The customer does not want the work: how they said so, and in which words. */
import { useState } from 'preact/hooks'
import { Choice } from '../../../parts/choice'
import { MissingKey } from '../../../parts/keys'
import type { EnquiryRow } from '../../../work/enquiries'
import { capital } from '../../../work/letters'
import { declineCall } from '../../../work/write-enquiry'
import type { Rooms } from '../../rooms'
import { useAct } from '../act'
import { BackKey, RecordKey } from '../act-keys'
import { useDraft } from '../drafts'
import { Frame } from '../frame'
import { asWords, Words } from '../free-words'
import { goBay } from '../nav'
import * as words from '../../../words/en/bay/enquiry/decline'
import * as ofCall from '../../../words/en/work/call'
import { namesOf, t } from '../../../words/message'

const WAYS = namesOf(ofCall.ways).map(({ id, name }) => ({ id, says: capital(name) }))

export function Decline({ store, row, back }: Rooms & { row: EnquiryRow; back: () => void }) {
  const [how, setHow] = useState<(typeof WAYS)[number]['id'] | null>(null)
  const [typed, setTyped, forget, since] = useDraft(['decline', row.job], '')
  const { trouble, run } = useAct()
  const keep = () =>
    run(
      () => declineCall(store, row.job, row.entry, how!, asWords(typed)),
      t(words.noIsKept),
      () => goBay(),
      forget,
    )
  return (
    <Frame
      title={t(words.howDidTheySaySo)}
      trouble={trouble}
      side={<BackKey back={back} />}
      main={
        how === null ? (
          <MissingKey label={t(words.chooseAbove)} />
        ) : (
          <RecordKey label={t(ofCall.keepTheNo)} onHeld={keep} />
        )
      }
    >
      <Choice
        label={t(words.howDidTheySaySo)}
        rows={WAYS}
        chosen={how}
        onChoose={(id) => setHow(WAYS.find((way) => way.id === id)!.id)}
      />
      {row.body.warning === undefined ? null : <p>{t(words.wasWarned)}</p>}
      <Words label={t(ofCall.inTheirWords)} value={typed} onValue={setTyped} since={since} />
    </Frame>
  )
}
