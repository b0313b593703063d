/** Photos across jobs: asked for by step, procedure, engine, person, standing, sharpness and days, on a contact sheet. */
import { useEffect, useState } from 'preact/hooks'
import type { PhotoRow, PhotosAnswer } from '../../ledger/answers'
import type { Bundle } from '../../procedure/bundle'
import { timeWords } from '../../work/format'
import {
  addressOf,
  askedWords,
  editionsOf,
  enginesOf,
  photoStepsOf,
  wishOf,
  type Choice,
  type Field,
  type Wish,
} from '../../work/photo-question'
import { TextKey } from '../text-key'
import * as state from '../../words/en/work/state'
import { Choose } from '../office/choose'
import { Older } from '../office/job-lines'
import { useList } from '../office/from-server'
import { useStatements } from '../office/from-store'
import { goTo } from '../office/nav'
import { PageHead, TroubleLine } from '../office/shell'
import { usePeople } from '../names'
import { useFindings } from '../record/damage'
import { SHARPNESS } from '../record/photo-sharpness'
import type { PhotoActs } from '../record/photo-viewer'
import { STANDS } from '../record/stands'
import { useChanged } from '../reading'
import type { Rooms } from '../rooms'
import { oddWords } from './oddities'
import { Sheet, type SheetItem } from './sheet'
import { TakePhotos } from './take'
import * as says from '../../words/en/photos/across'
import { namesOf, t } from '../../words/message'

const A_SHEET = 60

const CHOSEN = ['step', 'bundle', 'engine_code', 'person', 'standing', 'sharp'] as const
const DAYS = ['since', 'until'] as const
type Choices = Record<(typeof CHOSEN)[number], readonly Choice[]>

const STANDINGS: readonly Choice[] = Object.entries(STANDS).map(([value, words]) => ({ value, words }))
const SHARP = namesOf(says.sharpness).map(({ id, name }) => ({ value: id, words: name }))

type Asked = Record<string, string | number | boolean>

/** As it is sent. */
function questionOf({ sharp, ...wish }: Wish): Asked {
  const judged = sharp !== undefined && sharp in SHARPNESS ? SHARPNESS[sharp as keyof typeof SHARPNESS] : {}
  return { ...wish, ...judged, most: A_SHEET }
}

/** The procedures that are here, by their hashes. */
function useBundles({ store }: Rooms, wanted: readonly string[]): ReadonlyMap<string, Bundle> {
  const [bundles, setBundles] = useState<ReadonlyMap<string, Bundle>>(new Map())
  const named = wanted.join()
  const changed = useChanged(store)
  // biome-ignore lint/correctness/useExhaustiveDependencies: `named` is what is wanted as text, which is a new list each time
  useEffect(() => {
    let gone = false
    const read = async () => {
      const found = await Promise.all(wanted.map(async (sha) => [sha, await store.bundle(sha)] as const))
      if (!gone)
        setBundles(new Map(found.flatMap(([sha, bundle]) => (bundle ? [[sha, bundle] as const] : []))))
    }
    void read()
    return () => {
      gone = true
    }
  }, [store, named, changed])
  return bundles
}

function itemOf(row: PhotoRow, bundle: Bundle | undefined, isDamaged: boolean): SheetItem {
  const step = bundle?.steps.find(({ id }) => id === row.step)
  return {
    job: row.job,
    entry: row.id,
    blob: row.blob,
    label: step?.proof.find(({ name }) => name === row.name)?.label ?? row.name,
    jobName: row.plate ?? t(says.plateNotHere, { engine: row.engine_code ?? '', job: row.job.slice(-8) }),
    step: step ? step.number || step.title : row.step,
    takenAt: timeWords(row.at),
    oddities: oddWords({ ...row, quality: row.quality ?? undefined, isDamaged }),
  }
}

export function PhotosAcross({
  room,
  item,
  acts,
  ...rooms
}: Rooms & { room: 'desk' | 'audit'; item: string | null; acts?: PhotoActs }) {
  const wish = wishOf(item)
  const { answer, older } = useList<PhotosAnswer>(rooms, '/api/photos', questionOf(wish), 'photos')
  const rows = answer?.ok ? answer.value.photos : []
  const editions = editionsOf(useStatements(rooms) ?? [])
  const findings = useFindings(rooms)
  const known = useBundles(rooms, [
    ...new Set([...editions.map(({ bundle }) => bundle), ...rows.flatMap(({ bundle }) => bundle ?? [])]),
  ])
  const [chosen, setChosen] = useState<ReadonlySet<string>>(new Set())
  const people = usePeople(rooms)
  const damaged = new Set(findings.map(({ blob }) => blob))
  const items = rows.map((row) => itemOf(row, known.get(row.bundle ?? ''), damaged.has(row.blob)))
  const workshop = rooms.store.device.value?.workshopName ?? ''
  const choices: Choices = {
    step: photoStepsOf(
      [...known].flatMap(([sha, bundle]) => (!wish.bundle || wish.bundle === sha ? [bundle] : [])),
    ),
    bundle: editions.map(({ bundle, name, edition }) => ({
      value: bundle,
      words: t(state.edition, { name, edition }),
    })),
    engine_code: enginesOf(editions),
    person: [...people].map(([value, words]) => ({ value, words })),
    standing: STANDINGS,
    sharp: SHARP,
  }
  return (
    <>
      <PageHead>{t(says.title)}</PageHead>
      <Questions
        key={item ?? ''}
        wish={wish}
        choices={choices}
        ask={(asked) => goTo(room, 'photos', addressOf(asked))}
      />
      <TroubleLine trouble={answer && !answer.ok ? answer.trouble : null} />
      <div role="status" class="contact-state">
        {answer === null && <p>{t(says.asking)}</p>}
        {answer?.ok && <p class="d-text">{t(says.found, { n: items.length, hasMore: older !== null })}</p>}
      </div>
      {items.length > 0 && (
        <>
          <Sheet
            {...rooms}
            items={items}
            heading={t(says.heading, {
              workshop,
              at: timeWords(new Date().toISOString()),
              asked: askedWords(wish, says.fields, choices),
              isAsked: item !== null,
            })}
            chosen={chosen}
            setChosen={setChosen}
            acts={acts}
            through={items}
          />
          <Older older={older} label={t(says.older)} />
          <TakePhotos {...rooms} photos={items.filter(({ entry }) => chosen.has(entry))} />
        </>
      )}
    </>
  )
}

function Questions({ wish, choices, ask }: { wish: Wish; choices: Choices; ask: (wish: Wish) => void }) {
  const [typed, type] = useState<Wish>(wish)
  const set = (name: Field) => (value: string) => type({ ...typed, [name]: value })
  return (
    <form
      class="photo-questions"
      onSubmit={(event) => {
        event.preventDefault()
        ask(typed)
      }}
    >
      {CHOSEN.map((name) => (
        <Choose
          key={name}
          label={t(says.fields[name])}
          options={optionsOf(choices[name], typed[name] ?? '')}
          value={typed[name] ?? ''}
          onValue={set(name)}
        />
      ))}
      {DAYS.map((name) => (
        <Day key={name} label={t(says.fields[name])} value={typed[name] ?? ''} onDay={set(name)} />
      ))}
      <p class="step-acts">
        <button type="submit" class="text-key text-key-main">
          {t(says.show)}
        </button>
        <TextKey says={t(says.showAll)} onPress={() => ask({})} />
      </p>
    </form>
  )
}

/** What stands in the address is asked for, whether it is among what is known here or not. */
const optionsOf = (choices: readonly Choice[], value: string): readonly Choice[] => [
  { value: '', words: t(says.any) },
  ...choices,
  ...(value === '' || choices.some((each) => each.value === value) ? [] : [{ value, words: value }]),
]

function Day({ label, value, onDay }: { label: string; value: string; onDay: (day: string) => void }) {
  return (
    <label class="desk-field">
      {label}
      <input type="date" value={value} onChange={(event) => onDay(event.currentTarget.value)} />
    </label>
  )
}
