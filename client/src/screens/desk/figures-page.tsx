/** Figures that an owner looks at: first time right, comebacks, causes of work done twice, minutes a step, measured against said. */
import type { FiguresAnswer } from '../../ledger/answers'
import { timeWords } from '../../work/format'
import { longest, mostRedone, shareOf, totalsOf } from '../../work/workshop-figures'
import { useAsked } from '../office/from-server'
import { PageHead, TroubleLine } from '../office/shell'
import type { Rooms } from '../rooms'
import { Bars, TableBehind } from './plots'
import * as says from '../../words/en/desk/figures-page'
import { pieces, t } from '../../words/message'

/** So many bars are read at a glance; the table has all. */
const MOST_BARS = 12

export function FiguresPage(rooms: Rooms) {
  const answer = useAsked<FiguresAnswer>(rooms, '/api/figures')
  const figures = answer?.ok ? answer.value : null
  return (
    <>
      <PageHead>{figures ? t(says.title, { n: figures.jobs }) : t(says.reading)}</PageHead>
      <TroubleLine trouble={answer && !answer.ok ? answer.trouble : null} />
      {figures && figures.jobs === 0 && <p class="d-text">{t(says.none)}</p>}
      {figures && figures.jobs > 0 && <All figures={figures} />}
    </>
  )
}

function All({ figures }: { figures: FiguresAnswer }) {
  return (
    <>
      {figures.since !== null && <p class="d-text">{t(says.since, { since: timeWords(figures.since) })}</p>}
      <FirstTimeRight figures={figures} />
      <Causes figures={figures} />
      <Redone figures={figures} />
      <Minutes figures={figures} />
      <Readings figures={figures} />
      <Comebacks figures={figures} />
    </>
  )
}

const percent = (part: number, whole: number): string => t(says.percent, { n: shareOf(part, whole) ?? 0 })

function FirstTimeRight({ figures }: { figures: FiguresAnswer }) {
  const { jobs, firstTimeRight } = totalsOf(figures)
  return (
    <section>
      <h2 class="phase-head">
        {t(says.firstTimeRight, { share: percent(firstTimeRight, jobs), n: firstTimeRight, jobs })}
      </h2>
      <p class="d-text">{t(says.firstTimeRightMeans)}</p>
      <Bars
        label={t(says.firstTimeRightByMonth)}
        most={100}
        bars={figures.months.map(({ month, jobs: all, first_time_right: right }) => ({
          label: month,
          value: shareOf(right, all) ?? 0,
          says: t(says.ofAll, { share: percent(right, all), n: right, all }),
        }))}
      />
      <TableBehind
        head={t(says.monthColumns).split('; ')}
        rows={figures.months.map((each) => [
          each.month,
          each.jobs,
          each.first_time_right,
          each.jobs - each.first_time_right,
          each.comebacks,
        ])}
      />
    </section>
  )
}

function Causes({ figures: { causes } }: { figures: FiguresAnswer }) {
  return (
    <section>
      <h2 class="phase-head">{t(says.causes, { n: causes.length })}</h2>
      {causes.length > 0 && (
        <>
          <Bars
            label={t(says.causesLabel)}
            bars={causes.slice(0, MOST_BARS).map(({ step, says: cause, often }) => ({
              label: t(says.causeAt, { cause, step }),
              value: often,
              says: String(often),
            }))}
          />
          <TableBehind
            head={t(says.causeColumns).split('; ')}
            rows={causes.map(({ procedure, step, says: cause, often }) => [procedure, step, cause, often])}
          />
        </>
      )}
    </section>
  )
}

function Redone({ figures: { steps } }: { figures: FiguresAnswer }) {
  const redone = mostRedone(steps, MOST_BARS)
  if (redone.length === 0) return null
  return (
    <section>
      <h2 class="phase-head">{t(says.redone)}</h2>
      <Bars
        label={t(says.redone)}
        bars={redone.map(({ step, failed, again }) => ({
          label: step,
          value: failed + again,
          says: t(says.failedAndAgain, { failed, again }),
        }))}
      />
    </section>
  )
}

function Minutes({ figures: { steps } }: { figures: FiguresAnswer }) {
  const slow = longest(steps, MOST_BARS)
  return (
    <section>
      <h2 class="phase-head">{t(says.minutes)}</h2>
      <p class="d-text">{t(says.minutesMeans)}</p>
      {slow.length > 0 && (
        <Bars
          label={t(says.minutes)}
          bars={slow.map(({ step, minutes, slow_minutes: mark }) => ({
            label: step,
            value: minutes!,
            says: t(says.min, { n: minutes! }),
            mark,
          }))}
        />
      )}
      <TableBehind
        head={t(says.stepColumns).split('; ')}
        rows={steps.map((each) => [
          each.procedure,
          each.step,
          each.jobs,
          each.minutes ?? t(says.notKnown),
          each.slow_minutes ?? t(says.notKnown),
          each.failed,
          each.again,
        ])}
      />
    </section>
  )
}

function Readings({ figures }: { figures: FiguresAnswer }) {
  const { measured, read, said } = figures.counts
  const { readings } = totalsOf(figures)
  const rows = [
    { label: t(says.measured), n: measured },
    { label: t(says.readByEye), n: read },
    { label: t(says.said), n: said },
  ]
  return (
    <section>
      <h2 class="phase-head">{t(says.readings)}</h2>
      <p class="d-text">{t(says.readingsMeans)}</p>
      <Bars
        label={t(says.readings)}
        most={readings}
        bars={rows.map(({ label, n }) => ({
          label,
          value: n,
          says: t(says.ofAll, { share: percent(n, readings), n, all: readings }),
        }))}
      />
      <TableBehind
        head={t(says.readingColumns).split('; ')}
        rows={rows.map(({ label, n }) => [label, n, percent(n, readings)])}
      />
    </section>
  )
}

function Comebacks({ figures: { comebacks } }: { figures: FiguresAnswer }) {
  return (
    <section>
      <h2 class="phase-head">{t(says.comebacks, { n: comebacks.length })}</h2>
      <p class="d-text">{t(says.comebacksMeans)}</p>
      <ul class="plain-list">
        {comebacks.map(({ job, closed_at: at, before, before_at: beforeAt }) => (
          <li key={job}>
            {pieces(says.comeback, {
              now: <a href={`#/desk/jobs/${job}`}>{timeWords(at)}</a>,
              before: <a href={`#/desk/jobs/${before}`}>{timeWords(beforeAt)}</a>,
            })}
          </li>
        ))}
      </ul>
    </section>
  )
}
