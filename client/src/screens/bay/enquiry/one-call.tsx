/** A call that was taken: what was said and advised, and what comes of it: a job, or a no. */
import { useEffect, useState } from 'preact/hooks'
import type { Bundle } from '../../../procedure/bundle'
import type { EnquiryRow } from '../../../work/enquiries'
import { factsOf, saidOf, type SaidInCall } from '../../../work/enquiry'
import { timeWords } from '../../../work/format'
import { carriedCall, procedureFor } from '../../../work/opening'
import { AdviceWords } from '../../advice-words'
import { reading } from '../../reading'
import type { Rooms } from '../../rooms'
import { PlainKey, SideKey } from '../../../parts/keys'
import { CallRow } from '../call'
import { Facts } from '../facts'
import { Frame } from '../frame'
import { goBay } from '../nav'
import { draftOf, stageOf } from '../open-draft'
import { NotHere } from '../not-here'
import { RowKey } from '../rows'
import { Decline } from './decline'
import { Warning } from './due'
import { Quote } from '../../quote'
import * as words from '../../../words/en/bay/enquiry/one-call'
import * as ofCall from '../../../words/en/work/call'
import { t } from '../../../words/message'

interface Shown {
  row: EnquiryRow
  values: Record<'vin' | 'plate' | 'customer' | 'phone', string>
  words: string | null
  warned: string | null
  bundle: Bundle | null
  /** The first screen of opening a job that the call does not answer. */
  lacking: string
}

async function load(store: Rooms['store'], job: string): Promise<Shown | 'opened' | 'none'> {
  const call = await carriedCall(store, job)
  if (!call) return (await store.job(job)) ? 'opened' : 'none'
  const { body } = call.row
  const [said, warned] = await Promise.all(
    [body.words, body.warning].map((ref) => (ref ? store.secretValue(ref) : null)),
  )
  const bundles = await store.bundles()
  const offered = procedureFor(bundles, body.engine_code ?? '')
  const bundle = offered && (await store.bundle(offered.bundle))
  const lacking = stageOf('sum', draftOf(call, bundles))
  return { ...call, words: said ?? null, warned: warned ?? null, bundle, lacking }
}

export function OneCall({ job, screen, ...rooms }: Rooms & { job: string; screen: string }) {
  const { store } = rooms
  const [shown, setShown] = useState<Awaited<ReturnType<typeof load>> | null>(null)
  const changed = store.changed.value
  useEffect(() => reading(load(store, job), setShown), [store, job, changed])
  useEffect(() => {
    if (shown === 'opened') goBay('job', job)
  }, [shown, job])
  if (shown === null || shown === 'opened') return <main class="bay" aria-busy="true" />
  if (shown === 'none') return <NotHere what="none" />
  if (screen === 'no') return <Decline {...rooms} row={shown.row} back={() => goBay('call', job)} />
  return <CallShown {...rooms} shown={shown} said={saidOf(shown.row.body)} />
}

function CallShown({ shown, said, ...rooms }: Rooms & { shown: Shown; said: SaidInCall }) {
  const { row, values, bundle, warned } = shown
  const { job, declined } = row
  return (
    <Frame
      title={said.advice ?? t(words.call)}
      side={<SideKey icon="lines" label={t(words.allJobs)} onPress={() => goBay()} />}
      main={
        <PlainKey
          label={t(words.openTheJob)}
          note={declined === null ? t(words.nothingTwice) : t(words.theySaidNo)}
          onPress={() => goBay('open', shown.lacking, job)}
        />
      }
    >
      {declined !== null && <p class="reason">{t(ofCall.declinedOn, { at: timeWords(declined) })}</p>}
      <AdviceWords advice={said} />
      {said.due !== null && <p class="reason">{said.due}.</p>}
      <Facts
        facts={[
          [t(ofCall.taken), timeWords(row.at)],
          [t(ofCall.customer), values.customer || t(ofCall.notSaid)],
          [t(ofCall.plate), values.plate || t(ofCall.notSaid)],
          ...factsOf(row.body),
        ]}
      />
      {shown.words !== null && <p>{shown.words}</p>}
      <ul class="rows" aria-label={t(words.whatNext)}>
        <CallRow says={t(words.callBack)} number={values.phone} />
        <RowKey onPress={() => goBay('call', 'runs', job)}>{t(words.changeIt)}</RowKey>
        {declined === null && (
          <RowKey onPress={() => goBay('call', job, 'no')}>{t(ofCall.theyDoNotWantIt)}</RowKey>
        )}
      </ul>
      {warned !== null && <Warning title={t(ofCall.warnedSo)} phone={values.phone} warned={warned} />}
      {bundle && <Quote {...rooms} bundle={bundle} />}
    </Frame>
  )
}
