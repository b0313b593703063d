/** A recall, or a tool that was found out, to its end: whom to call, what was said, what is left; as a list, a file, letters. */
import { useState } from 'preact/hooks'
import type { FastenerRow, FollowUpAnswer, VehicleRow } from '../../ledger/answers'
import { NotKept, type Trouble } from '../../store'
import { csvText } from '../../work/csv'
import {
  countsOf,
  fastenerWords,
  HOWS,
  howWords,
  inOrder,
  tableOf,
  untilWords,
  WANTS_WORDS,
  type How,
  doneWords,
} from '../../work/follow-up'
import { dayWords, isoDay, timeWords } from '../../work/format'
import { distanceWords, plateWords } from '../../work/vehicle-words'
import { wordsIfAny } from '../../work/write'
import { namesWords, usePeople } from '../names'
import { PageHead, TroubleLine } from '../office/shell'
import { Choose } from '../office/choose'
import { Secret } from '../record/steps'
import type { Rooms } from '../rooms'
import { saveFile } from '../save-file'
import { useFollowUp } from './follow-up-asked'
import { DeskForm, Field } from './form'
import { Letters } from './letters'
import { useWriting } from './use-writing'
import './follow-up.css'
import { TextKey } from '../text-key'
import * as says from '../../words/en/desk/follow-up'
import { t } from '../../words/message'

export function FollowUp({ of, ...rooms }: Rooms & { of: string | null }) {
  const { found, isWhole, trouble } = useFollowUp(rooms, of ?? '')
  const [letters, setLetters] = useState<readonly VehicleRow[] | null>(null)
  if (found === null)
    return trouble ? (
      <>
        <PageHead>{t(says.notHere)}</PageHead>
        <TroubleLine trouble={trouble} />
      </>
    ) : (
      <p role="status">{t(says.readingTheJobs)}</p>
    )
  if (letters !== null)
    return <Letters {...rooms} about={found} vehicles={letters} leave={() => setLetters(null)} />
  return <Shown {...rooms} about={found} isWhole={isWhole} trouble={trouble} write={setLetters} />
}

/** What it is called, as a heading. */
const titleOf = ({ kind, name, on }: FollowUpAnswer): string =>
  kind === 'lot' ? t(says.recallOfLot, { lot: name }) : t(says.toolFoundOut, { tool: name, on: dayWords(on) })

interface ShownProps {
  about: FollowUpAnswer
  isWhole: boolean
  trouble: Trouble | null
  write: (vehicles: readonly VehicleRow[]) => void
}

function Shown({ about, isWhole, trouble, write, ...rooms }: Rooms & ShownProps) {
  const people = usePeople(rooms)
  const vehicles = inOrder(about.vehicles)
  const counts = countsOf(vehicles)
  const until = untilWords(about, counts, isoDay(new Date()))
  const open = vehicles.filter(({ is_done }) => !is_done)
  const save = () =>
    saveFile(
      new Blob([csvText(tableOf(vehicles, (person) => namesWords([person], people)))], { type: 'text/csv' }),
      `${t(about.kind === 'lot' ? says.fileOfLot : says.fileOfTool)}-${about.name.replace(/[^\p{L}\p{N}]+/gu, '-')}.csv`,
    )
  return (
    <div class="follow-up">
      <PageHead>{titleOf(about)}</PageHead>
      <TroubleLine trouble={trouble} />
      {about.because !== '' && (
        <p class="d-text">
          {about.kind === 'lot' ? about.because : t(says.certificate, { certificate: about.because })}
        </p>
      )}
      <p class={until !== '' && counts.done < counts.all ? 'act-words' : 'd-text'}>
        {t(says.counts, { ...counts, left: counts.all - counts.done })} {until}
      </p>
      {!isWhole && <p role="status">{t(says.soFar, { n: vehicles.length })}</p>}
      {isWhole && vehicles.length === 0 && (
        <p class="d-text">{t(about.kind === 'lot' ? says.noVehicleOfLot : says.noVehicleOfTool)}</p>
      )}
      {vehicles.length > 0 && (
        <p class="step-acts no-print">
          <TextKey says={t(says.takeTheTable)} disabled={!isWhole} onPress={save} />
          <TextKey says={t(says.printTheList)} disabled={!isWhole} onPress={() => window.print()} />
          {open.length > 0 && (
            <TextKey
              says={t(says.writeLetters, { n: open.length })}
              disabled={!isWhole}
              onPress={() => write(open)}
            />
          )}
        </p>
      )}
      <p class="d-small">{t(about.kind === 'lot' ? says.whatHoldsOfLot : says.whatHoldsOfTool)}</p>
      <ul class="vehicles">
        {vehicles.map((row) => (
          <li key={row.job} class={row.is_done ? 'vehicle is-done' : 'vehicle'}>
            <Vehicle {...rooms} about={about} row={row} people={people} letter={() => write([row])} />
          </li>
        ))}
      </ul>
    </div>
  )
}

interface VehicleProps {
  about: FollowUpAnswer
  row: VehicleRow
  people: ReadonlyMap<string, string>
  letter: () => void
}

function Vehicle({ about, row, people, letter, ...rooms }: Rooms & VehicleProps) {
  const [isOpen, setOpen] = useState(false)
  return (
    <>
      <h2 class="vehicle-name">
        <a href={`#/desk/jobs/${row.job}`}>{plateWords(row.plate)}</a>
        <span class={row.is_done ? 'd-small' : 'act-words'}>{doneWords(row)}</span>
      </h2>
      <p class="vehicle-whom">
        <b>{row.customer ?? t(says.noCustomer)}</b>{' '}
        {row.phone === null ? (
          t(says.noPhone)
        ) : (
          <a href={`tel:${row.phone.replace(/[^+\d]/g, '')}`}>{row.phone}</a>
        )}
      </p>
      <p class="d-small">
        {[
          row.vin ?? t(says.vinNotHere),
          row.engine_code,
          distanceWords(row.odometer_km, row.odometer_unit),
          t(row.is_closed ? says.hasLeft : says.stillHere, { begun: timeWords(row.begun) }),
        ]
          .filter((each) => each !== null)
          .join('; ')}
      </p>
      <What row={row} />
      {row.later_job !== null && (
        <p>
          <a href={`#/desk/jobs/${row.later_job}`}>{t(says.fittedLater)}</a> {t(says.fittedLaterHint)}
        </p>
      )}
      {row.followed.length > 0 && (
        <ul class="plain-list followed">
          {row.followed.map(({ entry, how, at, person, words }) => (
            <li key={entry}>
              <b>{howWords(how)}</b>,{' '}
              {t(says.whenBy, { at: timeWords(at), who: namesWords([person], people) })}
              {words !== null && (
                <>
                  {': '}
                  <Secret {...rooms} of={{ blob: words }} />
                </>
              )}
            </li>
          ))}
        </ul>
      )}
      {isOpen ? (
        <Say {...rooms} about={about} row={row} leave={() => setOpen(false)} />
      ) : (
        <p class="step-acts no-print">
          {rooms.store.writer.value && (
            <button type="button" class="text-key" onClick={() => setOpen(true)}>
              {t(says.writeItDown)}
              <span class="unseen">, {row.plate}</span>
            </button>
          )}
          {!row.is_done && (
            <button type="button" class="text-key" onClick={letter}>
              {t(says.aLetter)}
              <span class="unseen">, {row.plate}</span>
            </button>
          )}
        </p>
      )}
    </>
  )
}

/** The parts of the lot, or what the tool tightened, the worst first. */
function What({ row: { parts, fasteners } }: { row: VehicleRow }) {
  return (
    <ul class="plain-list what">
      {parts.map(({ part, lot, asks }, n) => (
        <li key={n}>{t(says.part, { part, lot, asks })}</li>
      ))}
      {fasteners.map((each) => (
        <li key={each.entry}>
          <Fastener each={each} />
        </li>
      ))}
    </ul>
  )
}

function Fastener({ each }: { each: FastenerRow }) {
  const isOut = each.verdict !== 'inside' && !each.is_settled
  return (
    <>
      {each.where}: <span class={isOut ? 'act-words' : ''}>{fastenerWords(each)}</span>
    </>
  )
}

/** What was done for this vehicle, in the owner's name and with his words. */
function Say({
  about,
  row,
  leave,
  ...rooms
}: Rooms & { about: FollowUpAnswer; row: VehicleRow; leave: () => void }) {
  const hows: readonly How[] = HOWS[about.kind as keyof typeof HOWS]
  const { write } = useWriting(rooms, row.job)
  const [how, setHow] = useState<How>(hows[0]!)
  const [typed, setTyped] = useState('')
  const [fault, setFault] = useState<string | undefined>(undefined)
  const text = typed.normalize('NFC').trim()
  const say = async () => {
    // Without the job's log it would not be said of what was fitted or tightened in it.
    const brought = await rooms.sync.bringJobs([row.job])
    if (!brought.ok && !(await rooms.store.job(row.job))) throw new NotKept(brought.trouble)
    await write(async (w) => {
      await w.entry('recall.followed', { of: about.of, how, ...(await wordsIfAny(w, text)) })
    })
    leave()
  }
  const act = () => {
    const wrong =
      text === '' && WANTS_WORDS.includes(how)
        ? t(says.wantsWords)
        : text.length > LONGEST
          ? t(says.tooLong)
          : undefined
    setFault(wrong)
    return wrong === undefined ? say() : null
  }
  return (
    <DeskForm
      title={t(says.whatWasDone, { plate: row.plate ?? '' })}
      submit={t(says.writeDown)}
      act={act}
      leave={leave}
    >
      <Choose
        label={t(says.howFar)}
        value={how}
        onValue={(value) => setHow(value as How)}
        options={hows.map((each) => ({ value: each, words: t(says.choice[each]) }))}
      />
      <Field label={t(says.words)} hint={t(says.wordsHint)} value={typed} onValue={setTyped} fault={fault} />
    </DeskForm>
  )
}

/** A private value holds 2,000 characters. */
const LONGEST = 1900
