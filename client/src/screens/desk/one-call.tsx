/** One call at the desk: what was said and advised, and the customer's no, if it comes to that. */
import { factsOf, saidOf } from '../../work/enquiry'
import { dialled } from '../../work/telephone'
import type { EnquiryRow } from '../../work/enquiries'
import { timeWords } from '../../work/format'
import { carriedCall, procedureFor, type CarriedCall } from '../../work/opening'
import { declineCall } from '../../work/write-enquiry'
import { useEffect, useState } from 'preact/hooks'
import type { Bundle } from '../../procedure/bundle'
import { AdviceWords } from '../advice-words'
import { PageHead } from '../office/shell'
import { Choose } from '../office/choose'
import { Quote } from '../quote'
import { reading } from '../reading'
import { Fact } from '../fact'
import type { Rooms } from '../rooms'
import { useSecret } from '../secret'
import { CallForm } from './call-form'
import { FormKey } from '../office/form-key'
import { DeskForm, Field } from './form'
import * as words from '../../words/en/desk/one-call'
import * as ofCall from '../../words/en/work/call'
import { namesOf, t } from '../../words/message'

function useBundle({ store }: Rooms, code: string): Bundle | null {
  const [bundle, setBundle] = useState<Bundle | null>(null)
  useEffect(() => {
    const load = async () => {
      const offered = procedureFor(await store.bundles(), code)
      return offered && store.bundle(offered.bundle)
    }
    return reading(load(), setBundle)
  }, [store, code])
  return bundle
}

export function OneCall({ row, ...rooms }: Rooms & { row: EnquiryRow }) {
  const { body, declined } = row
  const said = saidOf(body)
  const plate = useSecret(rooms, body.plate)
  const customer = useSecret(rooms, body.customer)
  const phone = useSecret(rooms, body.phone)
  const inWords = useSecret(rooms, body.words)
  const warned = useSecret(rooms, body.warning)
  const bundle = useBundle(rooms, body.engine_code ?? '')
  return (
    <>
      <PageHead>{t(words.callOf, { name: plate ?? customer ?? t(words.somebody) })}</PageHead>
      {declined !== null && <p class="act-words">{t(ofCall.declinedOn, { at: timeWords(declined) })}</p>}
      <h2 class="phase-head">{said.advice ?? t(words.nothingAdvised)}</h2>
      <AdviceWords advice={said} />
      <h2 class="phase-head">{t(words.whoAndWhat)}</h2>
      <dl class="facts-list">
        <Fact name={t(ofCall.taken)}>{timeWords(row.at)}</Fact>
        <Fact name={t(ofCall.customer)}>{customer ?? t(ofCall.notSaid)}</Fact>
        <Fact name={t(ofCall.telephone)}>
          {phone === null ? t(ofCall.notSaid) : <a href={`tel:${dialled(phone)}`}>{phone}</a>}
        </Fact>
        {said.due !== null && <Fact name={t(words.theBelt)}>{said.due}</Fact>}
        {factsOf(body).map(([name, value]) => (
          <Fact name={name}>{value}</Fact>
        ))}
      </dl>
      {inWords !== null && <p class="d-text">{inWords}</p>}
      {warned !== null && (
        <>
          <h2 class="phase-head">{t(ofCall.warnedSo)}</h2>
          <p class="d-text">{warned}</p>
        </>
      )}
      {bundle && <Quote {...rooms} bundle={bundle} />}
      {rooms.store.writer.value && (
        <FormKey label={t(words.changeIt)}>
          {(leave) => <Change {...rooms} row={row} leave={leave} />}
        </FormKey>
      )}
      {declined === null && rooms.store.writer.value && (
        <FormKey label={t(ofCall.theyDoNotWantIt)}>
          {(leave) => <DeclineForm {...rooms} row={row} leave={leave} />}
        </FormKey>
      )}
    </>
  )
}

/** The whole form again, with what stands in it. */
function Change({ row, leave, ...rooms }: Rooms & { row: EnquiryRow; leave: () => void }) {
  const { store } = rooms
  const [before, setBefore] = useState<CarriedCall | null>(null)
  useEffect(() => reading(carriedCall(store, row.job), setBefore), [store, row.job])
  return before && <CallForm {...rooms} before={before} leave={leave} />
}

const WAYS = namesOf(ofCall.ways).map(({ id, name }) => ({ value: id, words: name }))

function DeclineForm({ row, leave, store }: Rooms & { row: EnquiryRow; leave: () => void }) {
  const [how, setHow] = useState<(typeof WAYS)[number]['value']>('call')
  const [typed, setTyped] = useState('')
  const act = async () => {
    await declineCall(store, row.job, row.entry, how, typed.normalize('NFC').trim())
    leave()
  }
  return (
    <DeskForm title={t(ofCall.theyDoNotWantIt)} submit={t(ofCall.keepTheNo)} act={act} leave={leave}>
      <Choose
        label={t(words.howDidTheySaySo)}
        value={how}
        onValue={(value) => setHow(WAYS.find((way) => way.value === value)!.value)}
        options={WAYS}
      />
      <Field label={t(ofCall.inTheirWords)} value={typed} onValue={setTyped} />
    </DeskForm>
  )
}
