/** The desk: the owner's screens. What needs eyes first, all jobs, one job. */
import type { DeskAnswer, DeskRow, ErasuresAnswer, HeldAnswer, JobsAnswer } from '../../ledger/answers'
import { useState } from 'preact/hooks'
import type { Answer } from '../../sync'
import { useFindings } from '../record/damage'
import { route } from '../route'
import type { Rooms } from '../rooms'
import { useAsked, useList } from '../office/from-server'
import { erasureLines } from './erasing'
import { Erasing } from './erasing-page'
import { Beside, BesideNotice, Eyes } from './eyes'
import { chunk, screenOf } from '../chunk'
import { eyesFirst } from '../../work/eyes-order'
import { Find, JobTable } from '../office/find'
import { heldWords } from './held-back'
import { HeldBack } from './held-back-page'
import { Lots } from './lots-page'
import { goTo } from '../office/nav'
import { People } from './people'
import { Procedures } from './procedures'
import { useStatements } from '../office/from-store'
import { Review } from './review'
import { PageHead, Shell, TroubleLine } from '../office/shell'
import { dueLines, Tools } from './tools'
import { whereOf } from '../office/address'
import * as words from '../../words/en/desk/index'
import { t } from '../../words/message'

/** With its editor it is larger than the desk: it comes when a draft is opened. */
const Bench = screenOf(
  chunk(() => import('../bench')),
  (its) => its.Bench,
)

const PAGES = [
  { id: 'eyes', name: t(words.eyesFirst) },
  { id: 'jobs', name: t(words.jobs) },
  { id: 'tools', name: t(words.tools) },
  { id: 'lots', name: t(words.lots) },
  { id: 'people', name: t(words.people) },
  { id: 'held', name: t(words.heldBack) },
  { id: 'procedures', name: t(words.procedures) },
  { id: 'erasing', name: t(words.erasing) },
] as const
const IDS = PAGES.map(({ id }) => id)

export function Desk(rooms: Rooms) {
  const { page, item } = whereOf(route.value, 'desk', IDS)
  const { answer, older } = useList<DeskAnswer>(rooms, page === 'eyes' ? '/api/desk' : null)
  const erasures = useAsked<ErasuresAnswer>(rooms, '/api/erasures')
  const held = useAsked<HeldAnswer>(rooms, '/api/held')
  const rows = answer?.ok ? answer.value.jobs : []
  const open = (job: string) => goTo('desk', 'jobs', job)
  if (page === 'eyes')
    return (
      <EyesPage
        {...rooms}
        answer={answer}
        erasures={erasures?.ok ? erasures.value : null}
        held={held?.ok ? heldWords(held.value.devices) : null}
        rows={rows}
        older={older}
        open={open}
      />
    )
  return (
    <Shell {...rooms} pages={PAGES} room="desk" at={page}>
      {page === 'jobs' &&
        (item ? <Review key={item} {...rooms} job={item} /> : <Jobs {...rooms} open={open} />)}
      {page === 'tools' && <Tools {...rooms} item={item} />}
      {page === 'lots' && <Lots {...rooms} item={item} />}
      {page === 'people' && <People {...rooms} />}
      {page === 'held' && <HeldBack {...rooms} answer={held} />}
      {page === 'procedures' &&
        (item ? <Bench key={item} {...rooms} name={item} /> : <Procedures {...rooms} />)}
      {page === 'erasing' && <Erasing {...rooms} answer={erasures} />}
    </Shell>
  )
}

interface EyesPageProps {
  answer: Answer<{ jobs: DeskRow[] }> | null
  erasures: ErasuresAnswer | null
  held: string | null
  rows: DeskRow[]
  older: (() => void) | null
  open: (job: string) => void
}

function EyesPage({ answer, erasures, held, rows, older, open, ...rooms }: Rooms & EyesPageProps) {
  const [wish, choose] = useState<string | null>(null)
  const statements = useStatements(rooms)
  const findings = useFindings(rooms)
  const { lines, whole } = eyesFirst(rows)
  const chosen = lines.find(({ key }) => key === wish) ?? lines[0]
  const row = chosen?.rows[0] ?? whole[0]
  const beside = chosen?.notice ? (
    <BesideNotice line={chosen} notice={chosen.notice} />
  ) : (
    row && <Beside key={row.job} {...rooms} job={row.job} row={row} open={() => open(row.job)} />
  )
  return (
    <Shell {...rooms} pages={PAGES} room="desk" at="eyes" aside={beside}>
      <Eyes
        {...rooms}
        findings={findings}
        answer={answer}
        older={older}
        erasures={erasures ? erasureLines(erasures) : []}
        held={held}
        lines={lines}
        whole={whole}
        chosen={chosen?.key ?? null}
        choose={choose}
        due={statements ? dueLines(statements) : []}
      />
    </Shell>
  )
}

function Jobs({ open, ...rooms }: Rooms & { open: (job: string) => void }) {
  const { answer, older } = useList<JobsAnswer>(rooms, '/api/jobs')
  return (
    <>
      <PageHead>{t(words.jobs)}</PageHead>
      <Find {...rooms} open={open} />
      <h2 class="phase-head">{t(words.lastHeardOf)}</h2>
      <TroubleLine trouble={answer && !answer.ok ? answer.trouble : null} />
      {answer?.ok && <JobTable rows={answer.value.jobs} open={open} older={older} />}
    </>
  )
}
