/** Lists that were frozen, the auditor's word, and the jobs that are drawn by both. */
import { useEffect, useState } from 'preact/hooks'
import { draw } from '../../bag/sample'
import type { Body } from '../../ledger/bodies'
import type { JobRow, Trouble } from '../../store'
import { samplesOf, type Sample } from '../../work/audits'
import { dayWords, timeWords } from '../../work/format'
import { factOf } from '../../work/sentences'
import { proceduresOf } from '../../work/statements'
import { engineWords, plateWords } from '../../work/vehicle-words'
import { useAudits } from '../office/audits'
import { useStatements } from '../office/from-store'
import { PageHead, TroubleLine } from '../office/shell'
import { useKeeping } from '../keeping'
import { namesWords, usePeople } from '../names'
import { reading, useChanged } from '../reading'
import { jobHref } from '../record/links'
import type { Rooms } from '../rooms'
import { useSecret } from '../secret'
import { mayWrite, WriteFinding } from './findings'
import { Take } from './take'
import * as words from '../../words/en/audit/samples'
import * as list from '../../words/en/audit/jobs'
import { t } from '../../words/message'

export function Samples({ item, ...rooms }: Rooms & { item: string | null }) {
  const statements = useAudits(rooms)
  if (statements === null) return <p role="status">{t(words.reading)}</p>
  const samples = samplesOf(statements)
  if (item === null) return <AllSamples samples={samples} />
  const sample = samples.find(({ frozen }) => frozen.entry.id === item)
  if (!sample) return <PageHead>{t(words.notThere)}</PageHead>
  return <OneSample key={item} {...rooms} sample={sample} />
}

function AllSamples({ samples }: { samples: readonly Sample[] }) {
  return (
    <>
      <PageHead>{t(words.title)}</PageHead>
      {samples.length === 0 && <p class="d-text">{t(words.none)}</p>}
      <ul class="plain-list">
        {samples.map(({ frozen: { entry }, drawn }) => (
          <li key={entry.id}>
            <a class="beside-job" href={`#/audit/samples/${entry.id}`}>
              {t(words.line, {
                jobs: entry.body.jobs.length,
                at: timeWords(entry.at),
                drawn: drawn !== null,
                count: drawn?.entry.body.count ?? 0,
                word: drawn?.entry.body.word ?? '',
              })}
            </a>
          </li>
        ))}
      </ul>
      <p class="under-list">
        <a class="beside-job" href="#/audit/jobs">
          {t(words.toJobs)}
        </a>
      </p>
    </>
  )
}

function OneSample({ sample, ...rooms }: Rooms & { sample: Sample }) {
  const { frozen, drawn } = sample
  const people = usePeople(rooms)
  const { jobs, size, root, filter } = frozen.entry.body
  return (
    <>
      <PageHead>{t(words.frozenList, { jobs: jobs.length })}</PageHead>
      <dl class="facts-list">
        <dt>{t(words.frozenBy)}</dt>
        <dd>
          {timeWords(frozen.entry.at)}, {namesWords([frozen.entry.person], people)}
        </dd>
        <dt>{t(words.filter)}</dt>
        <dd>
          <FilterWords {...rooms} filter={filter} people={people} />
        </dd>
        <dt>{t(words.ofLedger)}</dt>
        <dd class="hash">{t(words.ofLedgerSays, { size, root })}</dd>
        <dt>{t(words.itsRecord)}</dt>
        <dd>{frozen.index ?? t(words.notInLedger)}</dd>
      </dl>
      {drawn ? <Drawn {...rooms} sample={sample} /> : <GiveWord {...rooms} sample={sample} />}
    </>
  )
}

interface FilterProps extends Rooms {
  filter: Body<'audit.frozen'>['filter']
  people: ReadonlyMap<string, string>
}

function FilterWords({ filter, people, ...rooms }: FilterProps) {
  const procedures = proceduresOf(useStatements(rooms) ?? [])
  const { days, person, bundle, engine_code, exception, tool, lot } = filter
  const [from, to] = days ?? []
  const edition = procedures.find((one) => one.bundle === bundle)
  const said: Partial<Record<keyof typeof words.fields, string>> = {
    ...(from && to ? { days: t(words.dayTo, { from: dayWords(from), to: dayWords(to) }) } : {}),
    ...(person ? { person: namesWords([person], people) } : {}),
    ...(bundle ? { bundle: edition ? t(list.editionOf, edition) : bundle.slice(0, 12) } : {}),
    ...(engine_code ? { engine_code } : {}),
    ...(exception ? { exception: factOf(exception, t(list.aJob)) } : {}),
    ...(tool ? { tool } : {}),
    ...(lot ? { lot } : {}),
  }
  const names = Object.keys(said) as (keyof typeof words.fields)[]
  if (names.length === 0) return <>{t(words.noFilter)}</>
  return (
    <>
      {names
        .map((name) => t(words.filterSays, { name: t(words.fields[name]), value: said[name] ?? '' }))
        .join('; ')}
    </>
  )
}

function GiveWord({ sample: { frozen }, ...rooms }: Rooms & { sample: Sample }) {
  const most = frozen.entry.body.jobs.length
  const [word, setWord] = useState('')
  const [count, setCount] = useState(String(Math.min(5, most)))
  const [lacks, setLacks] = useState(false)
  const { trouble, keep } = useKeeping()
  const isHis = mayWrite(rooms) && rooms.store.device.value?.person === frozen.entry.person
  if (!isHis) return <p class="d-text">{t(words.notYours)}</p>
  if (frozen.index === null) return null
  const give = async () => {
    const said = word.normalize('NFC').trim()
    const n = Number(count)
    const isRight = said !== '' && [...said].length <= 200 && Number.isInteger(n) && n >= 1 && n <= most
    setLacks(!isRight)
    if (!isRight) return
    const body = { freeze: frozen.entry.id, word: said, count: n }
    const draws = () => rooms.store.write(null, async (w) => void (await w.entry('audit.drawn', body)))
    if (await keep(draws)) void rooms.sync.now()
  }
  return (
    <form
      class="ask"
      onSubmit={(event) => {
        event.preventDefault()
        void give()
      }}
    >
      <h2 class="phase-head">{t(words.give)}</h2>
      <p class="d-text">{t(words.giveMeans)}</p>
      <label>
        {t(words.word)}
        <input
          type="text"
          value={word}
          maxLength={200}
          autocomplete="off"
          onInput={(event) => setWord(event.currentTarget.value)}
        />
      </label>
      <label>
        {t(words.howMany)}
        <input
          type="number"
          min={1}
          max={most}
          value={count}
          onInput={(event) => setCount(event.currentTarget.value)}
        />
      </label>
      <p role="alert" class="act-words">
        {lacks ? t(words.lacksWord, { most }) : ''}
      </p>
      <TroubleLine trouble={trouble} />
      <p>
        <button type="submit" class="text-key text-key-main">
          {t(words.draw)}
        </button>
      </p>
    </form>
  )
}

/** The jobs of a sample, brought here; null until they are drawn. */
function useDrawn({ store, sync }: Rooms, { frozen, drawn }: Sample) {
  const [jobs, setJobs] = useState<readonly string[] | null>(null)
  const [trouble, setTrouble] = useState<Trouble | null>(null)
  const [rows, setRows] = useState<ReadonlyMap<string, JobRow>>(new Map())
  const changed = useChanged(store)
  const { jobs: all, root } = frozen.entry.body
  const { word, count } = drawn!.entry.body
  // biome-ignore lint/correctness/useExhaustiveDependencies: an entry's body never changes
  useEffect(() => {
    void draw(all, root, word, count).then(async (found) => {
      setJobs(found)
      const told = await sync.bringJobs(found)
      setTrouble(told.ok ? null : told.trouble)
    })
  }, [sync, drawn!.entry.id])
  useEffect(() => {
    const read = async () => {
      const found = await Promise.all((jobs ?? []).map((job) => store.job(job)))
      return new Map(found.flatMap((row) => (row ? [[row.job, row] as const] : [])))
    }
    return reading(read(), setRows)
  }, [store, jobs, changed])
  return { jobs, rows, trouble }
}

function Drawn({ sample, ...rooms }: Rooms & { sample: Sample }) {
  const { jobs, rows, trouble } = useDrawn(rooms, sample)
  const { entry: said, index } = sample.drawn!
  if (jobs === null) return <p role="status">{t(list.looking)}</p>
  return (
    <>
      <h2 class="phase-head">{t(words.drawnTitle, { n: jobs.length })}</h2>
      <p class="d-text">{t(words.drawnBy, { word: said.body.word, at: timeWords(said.at) })}</p>
      <TroubleLine trouble={trouble} />
      <ol class="found">
        {jobs.map((job) => (
          <li key={job}>
            <DrawnRow {...rooms} job={job} row={rows.get(job) ?? null} />
          </li>
        ))}
      </ol>
      <section>
        <h2 class="phase-head">{t(words.theRule)}</h2>
        <p class="d-text">{t(words.ruleSays)}</p>
        <pre class="command" tabIndex={0}>
          {t(words.commandSays, { name: 'FILE.zip', workshop: rooms.store.device.value?.workshop ?? '' })}
        </pre>
      </section>
      <WriteFinding {...rooms} of={{ freeze: sample.frozen.entry.id }} />
      {index === null ? (
        <p class="d-text">{t(words.takenOnceThere)}</p>
      ) : (
        <Take {...rooms} jobs={jobs} sample={sample.frozen.entry.id} />
      )}
    </>
  )
}

function DrawnRow({ job, row, ...rooms }: Rooms & { job: string; row: JobRow | null }) {
  const plate = useSecret(rooms, row?.plate)
  return (
    <a class="found-row" href={jobHref(job)}>
      <strong>{plateWords(plate)}</strong>
      <span>{row ? engineWords(row.engineCode, row.odometerKm, row.odometerUnit) : ''}</span>
      <span class="hash d-small">{job}</span>
    </a>
  )
}
