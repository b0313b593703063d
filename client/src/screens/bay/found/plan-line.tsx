/** Parked, promised, somebody else's: what a plan says of a job in the list of today. */
import type { AppointmentNow } from '../../../work/appointments'
import { parkedWords, promisedWords } from '../../../work/appointment-words'
import { capital } from '../../../work/letters'
import * as words from '../../../words/en/bay/found/plan-line'
import { t } from '../../../words/message'

export function PlanLine({ plan, own }: { plan: AppointmentNow; own: string | undefined }) {
  const { person, promised, parked } = plan
  const said = [
    parked ? parkedWords(parked) : '',
    promised === null ? '' : promisedWords(promised, Date.now()),
    person !== null && person !== own ? t(words.anothers) : '',
  ].filter(Boolean)
  if (said.length === 0) return null
  return (
    <>
      <b>{capital(said.join(', '))}</b>
      <br />
    </>
  )
}
