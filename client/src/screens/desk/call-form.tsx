/** The form that takes a call at the desk: the same questions as on the phone, on one page, answered in any order. */
import type { ComponentChildren } from 'preact'
import type { JobsAnswer } from '../../ledger/answers'
import { uuid7 } from '../../ledger/uuid'
import { checkVin } from '../../trade/identity'
import {
  ADVICE_WORDS,
  ASKS,
  asked,
  NOTICED_WORDS,
  REASON_WORDS,
  TOLD_WORDS,
  type Ask,
} from '../../trade/triage'
import {
  adviceOf,
  askedBack,
  clearOf,
  draftOfCall,
  fittedFault,
  isAsked,
  kmOf,
  NO_ENQUIRY,
  nameOf,
  type EnquiryDraft,
  type KnownVehicle,
} from '../../work/enquiry'
import { ANSWER_WORDS, ASK_WORDS, PLACE_WORDS, SEVERE_WORDS, type Question } from '../../work/enquiry-words'
import { placeSaid } from '../../work/enquiry-stages'
import { knownVehicle } from '../../work/known-vehicle'
import { newestByCode } from '../../work/offered'
import type { CarriedCall } from '../../work/opening'
import { takeCall } from '../../work/write-enquiry'
import { AdviceWords } from '../advice-words'
import { Choose } from '../office/choose'
import { letGo, useTyped } from '../office/kept'
import { PageHead } from '../office/shell'
import { Tick } from '../office/tick'
import { Quote } from '../quote'
import type { Rooms } from '../rooms'
import { useCall } from '../use-call'
import { DeskForm, Field } from './form'
import * as words from '../../words/en/desk/call-form'
import { t } from '../../words/message'

const KEPT = 'draft/call'
const LEAST_OF_A_PLATE = 3

/** What the workshop knows of a vehicle besides what this browser holds. */
async function knownAtWorkshop(
  { store, sync }: Pick<Rooms, 'store' | 'sync'>,
  plate: string,
): Promise<KnownVehicle> {
  const here = await knownVehicle(store, plate)
  if (plate.trim().length < LEAST_OF_A_PLATE) return here
  const answer = await sync.ask<JobsAnswer>('/api/find', { plate: plate.trim() })
  if (!answer.ok) return here
  const rows = [...answer.value.jobs].reverse() // the newest comes first
  const names = await Promise.all(
    rows.map(({ customer }) => (customer === null ? null : sync.value({ blob: customer }))),
  )
  return {
    readings: rows.flatMap(({ odometer_km: km, last_received }) =>
      km === null ? [] : [{ on: last_received.slice(0, 10), km }],
    ),
    customers: names.filter((name) => name !== null),
  }
}

interface PartProps {
  draft: EnquiryDraft
  set: (part: Partial<EnquiryDraft>) => void
}

const toggled = (all: readonly string[], one: string) =>
  all.includes(one) ? all.filter((each) => each !== one) : [...all, one]

function Ticks({ legend, children }: { legend: string; children: ComponentChildren }) {
  return (
    <fieldset class="desk-ticks">
      <legend>{legend}</legend>
      {children}
    </fieldset>
  )
}

function TriagePart({ draft, set }: PartProps) {
  const { said, noticed } = draft
  const asks = asked(said).filter((ask): ask is Question => ask in ASK_WORDS)
  const say = (ask: Ask, answer: string) => {
    const { [ask]: _, ...others } = said
    set({ said: answer === '' ? others : { ...others, [ask]: answer } })
  }
  const chosen = PLACE_WORDS.map(([id]) => id).filter((id) => said[id] === 'yes')
  return (
    <>
      <div class="field-row">
        {asks.map((ask) => (
          <Choose
            key={ask}
            label={ASK_WORDS[ask]}
            value={said[ask] ?? ''}
            onValue={(answer) => say(ask, answer)}
            options={[
              { value: '', words: t(words.notAsked) },
              ...ASKS[ask].map((answer) => ({ value: answer, words: ANSWER_WORDS[answer] ?? answer })),
            ]}
          />
        ))}
      </div>
      {asked(said).includes('traffic') && (
        <Ticks legend={t(words.whatIsItLike)}>
          {PLACE_WORDS.map(([id, says]) => (
            <Tick
              key={id}
              isOn={chosen.includes(id)}
              set={() => set({ said: { ...said, ...placeSaid(toggled(chosen, id)) } })}
            >
              {says}
            </Tick>
          ))}
        </Ticks>
      )}
      <Ticks legend={t(words.whatWasNoticed)}>
        {Object.entries(NOTICED_WORDS).map(([sign, says]) => (
          <Tick key={sign} isOn={noticed.includes(sign)} set={() => set({ noticed: toggled(noticed, sign) })}>
            {says}
          </Tick>
        ))}
      </Ticks>
    </>
  )
}

/** Nobody has to know it on the telephone; what is typed is to be one. */
function vinFault({ vin }: EnquiryDraft): string | undefined {
  if (vin.trim() === '') return undefined
  const { accepted, message, hint } = checkVin(vin)
  return accepted ? undefined : `${message} ${hint}`
}

function VehiclePart({ draft, set, codes }: PartProps & { codes: readonly string[] }) {
  const of = (field: 'customer' | 'phone' | 'plate' | 'vin' | 'code' | 'odometer') => ({
    value: draft[field],
    onValue: (value: string) =>
      set({ [field]: field === 'vin' || field === 'plate' ? value.toUpperCase() : value }),
    fault: undefined,
  })
  const vin = vinFault(draft)
  const fault = draft.odometer.trim() !== '' && kmOf(draft.odometer, draft.inMiles) === null
  return (
    <>
      <div class="field-row">
        <Field label={t(words.telephone)} {...of('phone')} />
        <Field label={t(words.customer)} {...of('customer')} />
      </div>
      <div class="field-row">
        <Field label={t(words.plate)} {...of('plate')} />
        <Field label={t(words.vin)} {...of('vin')} fault={vin} />
        <Field label={t(words.engineCode)} list="call-codes" {...of('code')} />
        <datalist id="call-codes">
          {codes.map((code) => (
            <option key={code} value={code} />
          ))}
        </datalist>
      </div>
      <div class="field-row">
        <Field
          label={t(words.odometer)}
          inputMode="decimal"
          {...of('odometer')}
          fault={fault ? t(words.wholeFigures) : undefined}
        />
        <Tick isOn={draft.inMiles} set={(inMiles) => set({ inMiles })}>
          {t(words.inMiles)}
        </Tick>
      </div>
    </>
  )
}

function BeltPart({ draft, set, today, hasInterval }: PartProps & { today: string; hasInterval: boolean }) {
  const of = (field: 'fittedOn' | 'fittedKm' | 'everyKm' | 'everyMonths') => ({
    value: draft[field],
    onValue: (value: string) => set({ [field]: value }),
    fault: undefined,
  })
  const fault = fittedFault(draft, today) ?? undefined
  return (
    <>
      <div class="field-row">
        <Field label={t(words.fittedOn)} hint={t(words.fittedOnHint)} {...of('fittedOn')} fault={fault} />
        <Field label={t(words.fittedKm)} inputMode="decimal" {...of('fittedKm')} />
      </div>
      {!hasInterval && (
        <div class="field-row">
          <Field label={t(words.everyKm)} inputMode="decimal" {...of('everyKm')} />
          <Field label={t(words.everyMonths)} inputMode="decimal" {...of('everyMonths')} />
        </div>
      )}
      <Choose
        label={t(words.howIsItUsed)}
        value={String(draft.severe)}
        onValue={(value) => set({ severe: SEVERE_WORDS.find(([severe]) => String(severe) === value)![0] })}
        options={SEVERE_WORDS.map(([severe, says, note]) => ({
          value: String(severe),
          words: note === '' ? says : t(words.useAndPart, { says, note }),
        }))}
      />
    </>
  )
}

/** @param before the call that is changed; null: a new one */
export function CallForm({
  before,
  leave,
  ...rooms
}: Rooms & {
  before: CarriedCall | null
  /** To what stands when it is kept, or left. */
  leave: (job?: string) => void
}) {
  const kept = `${KEPT}/${before?.row.job ?? ''}`
  const [draft, setDraft] = useTyped<EnquiryDraft>(
    kept,
    before ? draftOfCall(before.row.body, before.values) : NO_ENQUIRY,
  )
  const { bundles, bundle, known, today, interval, verdict, warned } = useCall(rooms, draft, knownAtWorkshop)
  const set = (part: Partial<EnquiryDraft>) => setDraft({ ...draft, ...part })
  const advice = adviceOf(draft)
  const asking = askedBack({ ...draft, confirmed: [] }, known, today)
  const open = asking.filter(({ code }) => !draft.confirmed.includes(nameOf(code)))
  const isWrong = draft.odometer.trim() !== '' && kmOf(draft.odometer, draft.inMiles) === null
  const act = () => {
    if (open.length > 0 || isWrong || vinFault(draft) || fittedFault(draft, today) !== null) return null
    const job = before?.row.job ?? uuid7(Date.now(), crypto.getRandomValues(new Uint8Array(10)))
    const said = { ...draft, code: draft.code.trim() }
    return takeCall(rooms.store, job, said, clearOf(said, interval, verdict), warned, before).then(() => {
      letGo(kept)
      leave(job)
    })
  }
  const giveUp = () => {
    letGo(kept)
    leave()
  }
  return (
    <>
      <PageHead>{t(words.takeACall)}</PageHead>
      <DeskForm title={t(words.mayItRun)} submit={t(words.keepTheCall)} act={act} leave={giveUp}>
        <TriagePart draft={draft} set={set} />
        <h2 class="phase-head">{isAsked(draft) ? ADVICE_WORDS[advice.advice] : t(words.askFirst)}</h2>
        <div role="status">
          {isAsked(draft) && (
            <AdviceWords
              advice={{
                because: advice.because.map((code) => REASON_WORDS[code]),
                told: advice.told.map((code) => TOLD_WORDS[code]),
              }}
            />
          )}
        </div>
        <p class="d-small">{t(words.othersComeFirst)}</p>
        <h2 class="phase-head">{t(words.whoCalls)}</h2>
        <VehiclePart draft={draft} set={set} codes={newestByCode(bundles).map(({ code }) => code)} />
        <h2 class="phase-head">{t(words.isItDue)}</h2>
        <BeltPart draft={draft} set={set} today={today} hasInterval={interval !== null} />
        <p class="d-text" role="status">
          {verdict.says}
        </p>
        {warned !== null && (
          <p class="d-text">
            <b>{t(words.warnInWriting)}</b> {warned}
          </p>
        )}
        {bundle && <Quote {...rooms} bundle={bundle} />}
        <Field label={t(words.whatElse)} value={draft.words} onValue={(typed) => set({ words: typed })} />
        {asking.length > 0 && (
          <Ticks legend={t(words.isItSo)}>
            {asking.map(({ code, says }) => (
              <Tick
                key={code}
                isOn={draft.confirmed.includes(nameOf(code))}
                set={() => set({ confirmed: toggled(draft.confirmed, nameOf(code)) })}
              >
                {t(words.saysAndSo, { says })}
              </Tick>
            ))}
          </Ticks>
        )}
        {open.length > 0 && <p class="field-fault">{t(words.answerFirst)}</p>}
      </DeskForm>
    </>
  )
}
