/** The head of a job as desk and audit show it: whose vehicle, what must be looked at, where the record is. */
import type { Rooms } from '../rooms'
import { BeltOfJob } from './belt'
import { jobPlacesWords } from './places-words'
import type { JobRecord } from './record'
import { sentencesOf, uncertain } from './sentences'
import { Secret } from './steps'
import { kmWords, timeWords } from './words'

export function VehicleFacts({ record, ...rooms }: Rooms & { record: JobRecord }) {
  const { row, bundle, closed } = record
  return (
    <dl class="facts-list">
      <dt>Plate</dt>
      <dd>
        <Secret {...rooms} of={row.plate} />
      </dd>
      <dt>VIN</dt>
      <dd>
        <Secret {...rooms} of={row.vin} />
      </dd>
      <dt>Engine</dt>
      <dd>
        {row.engineCode}, {kmWords(row.odometerKm)}
      </dd>
      <dt>Procedure</dt>
      <dd>
        {bundle.name}, edition {bundle.edition}
      </dd>
      <dt>Opened</dt>
      <dd>
        {timeWords(row.openedAt)}, {row.bay}
      </dd>
      <dt>Closed</dt>
      <dd>{closed ? `${timeWords(closed.at)}, ${bundle.ends.find(({ id }) => id === closed.body.end)?.name ?? closed.body.end}` : 'still open'}</dd>
      <dt>Record</dt>
      <dd>{jobPlacesWords(record.held)}</dd>
    </dl>
  )
}

export function EyesFirst({ record }: { record: JobRecord }) {
  const sentences = sentencesOf(record)
  const unsure = uncertain(record)
  if (sentences.length === 0 && unsure.length === 0) return <p class="d-text">Nothing in this job asks for eyes.</p>
  return (
    <ul class="sentences">
      {unsure.map((words) => (
        <li>
          <b>Not certain.</b> {words}
        </li>
      ))}
      {sentences.map(({ step, fact, because }) => {
        const target = step === null ? undefined : record.bundle.steps[step]?.id
        return (
          <li>
            {target === undefined ? (
              <b>{fact}.</b>
            ) : (
              <a
                href={`#step-${target}`}
                onClick={(event) => {
                  event.preventDefault() // the address belongs to the router
                  document.getElementById(`step-${target}`)?.scrollIntoView()
                }}
              >
                {fact}.
              </a>
            )}{' '}
            {because}
          </li>
        )
      })}
    </ul>
  )
}

export function Belt({ record }: { record: JobRecord }) {
  return (
    <figure>
      <BeltOfJob record={record} />
      <figcaption class="d-small">Once round the belt, from the crank's mark along the tight side. Whole stripes hold.</figcaption>
    </figure>
  )
}
