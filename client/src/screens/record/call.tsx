/** The call that a job came by, on its page: what was said, advised and warned of; nothing where nobody called. */
import type { ComponentChildren } from 'preact'
import { useEffect, useState } from 'preact/hooks'
import { enquiries, type EnquiryRow } from '../../work/enquiries'
import { callIn, factsOf, saidOf } from '../../work/enquiry'
import { timeWords } from '../../work/format'
import type { JobRecord } from '../../work/record'
import { Fact } from '../fact'
import { usePeople } from '../names'
import { PageHead } from '../office/shell'
import { reading, useChanged } from '../reading'
import type { Rooms } from '../rooms'
import { Secret } from './steps'
import * as words from '../../words/en/record/call'
import * as ofCall from '../../words/en/work/call'
import { t } from '../../words/message'

type Call = Pick<EnquiryRow, 'body' | 'at' | 'person' | 'declined'>

export function TheCall({
  record,
  people,
  ...rooms
}: Rooms & { record: JobRecord; people: ReadonlyMap<string, string> }) {
  const call = callIn(record.held)
  if (!call) return null
  return (
    <section>
      <h2 class="phase-head">{t(words.theCall)}</h2>
      <CallFacts {...rooms} people={people} call={{ ...call.entry, declined: call.declined }} />
    </section>
  )
}

/** The page of a job that is but a call: nobody has opened it; else what stands between. */
export function OrOnlyCall({
  job,
  children,
  ...rooms
}: Rooms & { job: string; children: ComponentChildren }) {
  const [call, setCall] = useState<EnquiryRow | null>(null)
  const changed = useChanged(rooms.store)
  const people = usePeople(rooms)
  useEffect(() => {
    const look = async () => (await enquiries(rooms.store)).find((each) => each.job === job) ?? null
    return reading(look(), setCall)
  }, [rooms.store, job, changed])
  if (call === null) return <>{children}</>
  const { plate, customer, phone } = call.body
  return (
    <>
      <PageHead title={t(words.onlyACall)}>
        {plate ? <Secret {...rooms} of={plate} /> : t(words.onlyACall)}
      </PageHead>
      <p class="d-text">{t(words.nobodyOpenedIt)}</p>
      <CallFacts {...rooms} people={people} call={call}>
        {customer && (
          <Fact name={t(ofCall.customer)}>
            <Secret {...rooms} of={customer} />
          </Fact>
        )}
        {phone && (
          <Fact name={t(ofCall.telephone)}>
            <Secret {...rooms} of={phone} />
          </Fact>
        )}
      </CallFacts>
    </>
  )
}

interface CallProps extends Rooms {
  call: Call
  people: ReadonlyMap<string, string>
  children?: ComponentChildren
}

function CallFacts({ call, people, children, ...rooms }: CallProps) {
  const { body, at, person, declined } = call
  const said = saidOf(body)
  return (
    <dl class="facts-list">
      <Fact name={t(ofCall.taken)}>
        {t(words.takenBy, { at: timeWords(at), person: people.get(person) ?? t(words.nameNotHere) })}
      </Fact>
      {said.advice !== null && <Fact name={t(words.advised)}>{said.advice}</Fact>}
      {[...said.because, ...said.told].map((each) => (
        <>
          <dt />
          <dd key={each}>{each}</dd>
        </>
      ))}
      {said.due !== null && <Fact name={t(words.theBelt)}>{said.due}</Fact>}
      {factsOf(body).map(([name, value]) => (
        <Fact name={name}>{value}</Fact>
      ))}
      {body.words && (
        <Fact name={t(words.theySaid)}>
          <Secret {...rooms} of={body.words} />
        </Fact>
      )}
      {body.warning && (
        <Fact name={t(words.warned)}>
          <Secret {...rooms} of={body.warning} />
        </Fact>
      )}
      {children}
      {declined !== null && <Fact name={t(words.declined)}>{timeWords(declined)}</Fact>}
    </dl>
  )
}
