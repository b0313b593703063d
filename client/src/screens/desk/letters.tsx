/** Letters to the owners of vehicles: shown as they are printed, a page each. */
import { useEffect, useState } from 'preact/hooks'
import type { FollowUpAnswer, VehicleRow } from '../../ledger/answers'
import { concerning } from '../../work/follow-up'
import { dayWords, isoDay } from '../../work/format'
import { distanceWords } from '../../work/vehicle-words'
import { PageHead } from '../office/shell'
import type { Rooms } from '../rooms'
import { TextKey } from '../text-key'
import * as says from '../../words/en/desk/letters'
import { t } from '../../words/message'

/** The setting of the store that keeps what stands above and below a letter. */
const LETTERHEAD = 'letterhead'

interface LettersProps {
  about: FollowUpAnswer
  vehicles: readonly VehicleRow[]
  leave: () => void
}

export function Letters({ about, vehicles, leave, ...rooms }: Rooms & LettersProps) {
  const [head, setHead] = useState('')
  const { store } = rooms
  useEffect(() => {
    void store.setting(LETTERHEAD).then((kept) => setHead(kept ?? ''))
  }, [store])
  const keep = (typed: string) => {
    setHead(typed)
    void store.setSetting(LETTERHEAD, typed)
  }
  return (
    <div class="letters">
      <div class="no-print">
        <PageHead>{t(says.letters, { n: vehicles.length })}</PageHead>
        <label class="desk-field letterhead">
          <span>{t(says.letterhead)}</span>
          <textarea
            rows={3}
            value={head}
            placeholder={t(says.letterheadLike)}
            onInput={(event) => keep(event.currentTarget.value)}
          />
        </label>
        <p class="step-acts">
          <button type="button" class="text-key text-key-main" onClick={() => window.print()}>
            {t(says.print, { n: vehicles.length })}
          </button>
          <TextKey says={t(says.back)} onPress={leave} />
        </p>
      </div>
      {vehicles.map((row) => (
        <Letter key={row.job} {...rooms} about={about} row={row} head={head} />
      ))}
    </div>
  )
}

function Letter({
  about,
  row,
  head,
  store,
}: Rooms & { about: FollowUpAnswer; row: VehicleRow; head: string }) {
  const isLot = about.kind === 'lot'
  const done = dayWords(row.begun.slice(0, 10))
  const isTorque = row.fasteners.every(({ unit }) => unit === 'N·m')
  const when = {
    done,
    hasKm: row.odometer_km !== null,
    km: distanceWords(row.odometer_km, row.odometer_unit) ?? '',
  }
  return (
    <article class="letter">
      <header>
        <p class="letter-head">
          <b>{store.device.value?.workshopName}</b>
          {head !== '' && <span>{head}</span>}
        </p>
        <p>{dayWords(isoDay(new Date()))}</p>
      </header>
      <p class="letter-to">{row.customer ?? t(says.ownerOf, { plate: row.plate ?? row.vin ?? '' })}</p>
      <h2>{t(isLot ? says.recallSubject : says.wrenchSubject, { plate: row.plate ?? row.vin ?? '' })}</h2>
      <p>{isLot ? t(says.weFitted, when) : t(says.weTightened, { ...when, isTorque })}</p>
      <ul>
        {concerning(row).map((each) => (
          <li key={each}>{each}</li>
        ))}
      </ul>
      <p>
        {isLot
          ? t(says.isRecalled, { because: about.because })
          : t(says.wasOff, { tool: about.name, on: dayWords(about.on), isTorque })}
      </p>
      <p>{isLot ? t(says.dangerOfLot) : t(says.dangerOfTool, { isTorque })}</p>
      <p>
        <b>
          {about.until === null || about.until <= isoDay(new Date())
            ? t(says.pleaseCall)
            : t(says.pleaseCallBy, { until: dayWords(about.until) })}
        </b>{' '}
        {t(isLot ? says.weReplace : says.weCheck)}
      </p>
      <p>{t(says.untilThen)}</p>
      <p>{t(says.defers)}</p>
      <footer>
        <p>{t(says.signature)}</p>
        <p class="letter-ref">
          {t(says.reference, {
            matter: about.of.slice(0, 12),
            job: row.job,
            vin: row.vin ?? t(says.vinNotHere),
          })}
        </p>
      </footer>
    </article>
  )
}
