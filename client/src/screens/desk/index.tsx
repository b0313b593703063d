/** The desk: the owner's screens. What needs eyes first, all jobs, one job. */
import type { DeskAnswer, DeskRow, ErasuresAnswer, HeldAnswer, JobsAnswer } from '../../ledger/answers'
import { useState } from 'preact/hooks'
import type { Answer } from '../../sync'
import { useFindings } from '../record/damage'
import { route } from '../route'
import type { Rooms } from '../rooms'
import { useAsked, useList } from '../office/from-server'
import { AnswerFindings, useUnanswered } from './audit-findings'
import { DuePage } from './due'
import { erasureLines } from './erasing'
import { Erasing } from './erasing-page'
import { Beside, BesideNotice, Eyes } from './eyes'
import { FiguresPage } from './figures-page'
import { Calls } from './calls-page'
import { screenAlone } from '../chunk'
import { eyesFirst } from '../../work/eyes-order'
import { Find } from '../office/find'
import { JobLines } from '../office/job-lines'
import { heldWords } from './held-back'
import { FollowUp } from './follow-up'
import { HeldBack } from './held-back-page'
import { Lots } from './lots-page'
import { goTo } from '../office/nav'
import { OrItsCall } from './or-call'
import { People } from './people'
import { askingAbout } from './ask-photo'
import { Photos } from '../photos-later'
import { lapsingLines } from './permits'
import { usePeople } from '../names'
import { isoDay } from '../../work/format'
import { Procedures } from './procedures'
import { useStatements } from '../office/from-store'
import { Review } from './review'
import { PageHead, Shell, TroubleLine } from '../office/shell'
import { Sets } from './sets'
import { Today } from './today'
import { dueLines, Tools } from './tools'
import { whereOf } from '../office/address'
import * as words from '../../words/en/desk/index'
import { namesOf, t } from '../../words/message'

/** With its editor it is larger than the desk: it comes when a draft is opened. */
const Bench = screenAlone(
  () => import('../bench'),
  (its) => its.Bench,
)

const PAGES = namesOf(words.pages)
/** `follow` is reached from a lot or a tool alone. */
const IDS = [...PAGES.map(({ id }) => id), 'follow'] as const

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
        (item ? (
          <OrItsCall key={item} {...rooms} job={item}>
            <Review {...rooms} job={item} />
          </OrItsCall>
        ) : (
          <Jobs {...rooms} open={open} />
        ))}
      {page === 'photos' && <Photos {...rooms} room="desk" item={item} acts={askingAbout(rooms)} />}
      {page === 'today' && <Today {...rooms} open={open} />}
      {page === 'due' && <DuePage {...rooms} open={open} />}
      {page === 'calls' && <Calls {...rooms} item={item} />}
      {page === 'tools' && <Tools {...rooms} item={item} />}
      {page === 'sets' && <Sets {...rooms} item={item} />}
      {page === 'figures' && <FiguresPage {...rooms} />}
      {page === 'lots' && <Lots {...rooms} item={item} />}
      {page === 'follow' && <FollowUp key={item} {...rooms} of={item} />}
      {page === 'people' && <People {...rooms} />}
      {page === 'held' && <HeldBack {...rooms} answer={held} />}
      {page === 'procedures' &&
        (item ? <Bench key={item} {...rooms} name={item} /> : <Procedures {...rooms} />)}
      {page === 'audits' && <AnswerFindings {...rooms} />}
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
  const people = usePeople(rooms)
  const audits = useUnanswered(rooms)
  const { lines, whole } = eyesFirst(rows, isoDay(new Date()))
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
        audits={audits}
        lines={lines}
        whole={whole}
        chosen={chosen?.key ?? null}
        choose={choose}
        due={statements ? dueLines(statements) : []}
        lapsing={statements ? lapsingLines(statements, people, isoDay(new Date())) : []}
      />
    </Shell>
  )
}

function Jobs({ open, ...rooms }: Rooms & { open: (job: string) => void }) {
  const { answer, older } = useList<JobsAnswer>(rooms, '/api/jobs')
  return (
    <>
      <PageHead>{t(words.pages.jobs)}</PageHead>
      <Find {...rooms} open={open} />
      <h2 class="phase-head">{t(words.lastHeardOf)}</h2>
      <TroubleLine trouble={answer && !answer.ok ? answer.trouble : null} />
      {answer?.ok && <JobLines {...rooms} rows={answer.value.jobs} open={open} older={older} />}
    </>
  )
}
