/** What was measured, against its limits: what is outside or close to them stands first and open. */
import { Scale } from '../../parts/scale'
import type { Rooms } from '../rooms'
import { figuresOf, limitWords, verdictOf } from '../../work/eyes'
import { jumpToStep } from './jump-to-step'
import { PhotoSmall, type OpenPhoto } from './photo'
import { listed, type JobRecord, type ReadingRecord, type StepRecord } from '../../work/record'
import { photosHref, TracedName } from './links'
import * as said from '../../words/en/record/figures'
import { pieces, t } from '../../words/message'

const VERDICT = { outside: t(said.outsideLimits), close: t(said.closeToLimit), inside: '' }

/** A reading with its scale. `number` is the step's, where that is not plain from the place. */
export function Figure({ reading, number = '' }: { reading: ReadingRecord; number?: string }) {
  const isFigure = reading.says === null && /^-?\d/.test(reading.value)
  const verdict = verdictOf(reading)
  const { value, low, high, target, tool, was, again, unit, says, label, taken } = reading
  const hasWindow = isFigure && (low !== undefined || high !== undefined) && low !== high
  return (
    <div class="reading-row">
      <p>
        <b class="reading-figure">{says ?? value}</b>
        {isFigure && unit !== '1' && <span> {unit}</span>}
        <span class="d-small reading-label">
          {number === '' ? '' : `${number} `}
          {pieces(said.reading, {
            label,
            taken,
            hasTool: tool !== undefined,
            tool: tool === undefined ? '' : <TracedName by="tool" name={tool} />,
            isCorrected: was !== null,
            was: was ?? '',
            isOther: again !== null && again !== value && says === null,
            again: again ?? '',
            hasLimits: isFigure && !hasWindow && (low !== undefined || high !== undefined),
            limits: limitWords(reading),
          })}
        </span>
        {verdict !== null && VERDICT[verdict] !== '' && (
          <span class="act-words reading-label">{VERDICT[verdict]}</span>
        )}
      </p>
      {hasWindow && (
        <Scale
          readings={[value]}
          unit={unit}
          {...(low === undefined ? {} : { low })}
          {...(high === undefined ? {} : { high })}
          {...(target === undefined ? {} : { target })}
        />
      )}
    </div>
  )
}

function Grid({ figures }: { figures: ReturnType<typeof figuresOf> }) {
  return (
    <ul class="figures">
      {figures.map(({ step, reading }) => (
        <li key={reading.held.entry.id}>
          <Figure reading={reading} number={step.step.number} />
        </li>
      ))}
    </ul>
  )
}

export function Figures({ record }: { record: JobRecord }) {
  const all = figuresOf(record.steps)
  const eyes = all.filter(({ verdict }) => verdict !== 'inside')
  const inside = all.filter(({ verdict }) => verdict === 'inside')
  if (all.length === 0) return null
  return (
    <section>
      <h2 class="phase-head">{t(said.measured)}</h2>
      {eyes.length > 0 && <Grid figures={eyes} />}
      {inside.length > 0 && (
        <details class="more" open={eyes.length === 0}>
          <summary>
            {eyes.length === 0
              ? t(said.allInside, { inside: inside.length })
              : t(said.moreInside, { inside: inside.length })}
          </summary>
          <Grid figures={inside} />
        </details>
      )}
    </section>
  )
}

const AT_FIRST = 12

/** Photos of what asks for eyes first, then in the order of the work; what was photographed again comes last. */
export function Photos({
  record,
  first,
  openPhoto,
  ...rooms
}: Rooms & { record: JobRecord; first: (step: StepRecord) => boolean; openPhoto: OpenPhoto }) {
  const steps = [...listed(record), ...record.steps.filter(({ step }) => step.undo)]
  const photos = steps.flatMap((step) =>
    step.photos.map((photo) => ({ step, photo, rank: photo.isEarlier ? 2 : first(step) ? 0 : 1 })),
  )
  const sorted = [0, 1, 2].flatMap((wanted) => photos.filter(({ rank }) => rank === wanted))
  if (photos.length === 0) return null
  const row = (some: typeof sorted) => (
    <ul class="photo-rows">
      {some.map(({ step, photo }) => (
        <li key={photo.held.entry.id}>
          <PhotoSmall {...rooms} photo={photo} number={step.step.number} onOpen={openPhoto} />
        </li>
      ))}
    </ul>
  )
  return (
    <section>
      <h2 class="phase-head">{t(said.photographed)}</h2>
      <p class="d-text">
        <a class="beside-job" href={photosHref(record.row.job)}>
          {t(said.allPhotos, { n: sorted.length })}
        </a>
      </p>
      {row(sorted.slice(0, AT_FIRST))}
      {sorted.length > AT_FIRST && (
        <details class="more">
          <summary>{t(said.morePhotos, { sorted: sorted.length - AT_FIRST })}</summary>
          {row(sorted.slice(AT_FIRST))}
        </details>
      )}
    </section>
  )
}

export const stepLink = (step: string, words: string) => (
  <a
    href={`#step-${step}`}
    onClick={(event) => {
      event.preventDefault() // the address belongs to the router
      jumpToStep(step)
    }}
  >
    {words}
  </a>
)
