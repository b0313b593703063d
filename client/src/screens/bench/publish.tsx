/** Handing in what was proved: with what it changes, and for whom. An owner publishes it on the page Procedures. */
import { useState } from 'preact/hooks'
import type { ChangesAnswer, HandedInAnswer } from '../../ledger/answers'
import type { Trouble } from '../../store'
import { useAsked } from '../office/from-server'
import { TroubleLine } from '../office/shell'
import type { Rooms } from '../rooms'
import { readAs, type DraftNow } from './written-draft'
import * as words from '../../words/en/bench/publish'
import { t } from '../../words/message'

export function Publish({ name, now, ...rooms }: Rooms & { name: string; now: DraftNow }) {
  const { report, version, isKept } = now
  const isOfThis = report !== null && report.version === version && isKept
  const isProved = isOfThis && report.findings.length === 0
  const handed = useHandingIn(rooms, name)
  return (
    <section>
      <h2 class="phase-head">{t(words.publish)}</h2>
      {report?.bundle && <Changes key={report.version} {...rooms} name={name} />}
      {!isProved && (
        <p class="d-text">
          {isOfThis ? t(words.hasFaults, { n: report.findings.length }) : t(words.notChecked)}
        </p>
      )}
      <button
        type="button"
        class="text-key text-key-main"
        disabled={!isProved}
        onClick={() => void handed.in(version)}
      >
        {t(words.handIn)}
      </button>
      <TroubleLine trouble={handed.trouble} />
      {handed.of === version && (
        <p role="status" class="d-text">
          {handed.isNew ? t(words.waits) : t(words.isPublished)}{' '}
          <a href="#/desk/procedures">{t(words.toThePage)}</a>
        </p>
      )}
    </section>
  )
}

function useHandingIn({ sync }: Rooms, name: string) {
  const [handed, setHanded] = useState<{ of: string | null; isNew: boolean; trouble: Trouble | null }>({
    of: null,
    isNew: false,
    trouble: null,
  })
  return {
    ...handed,
    in: async (version: string) => {
      const answer = await sync.send<HandedInAnswer>(`/api/drafts/${name}/hand-in`, {
        method: 'POST',
        json: {},
        headers: readAs(version),
      })
      setHanded(
        answer.ok
          ? { of: version, isNew: answer.value.is_new, trouble: null }
          : { of: null, isNew: false, trouble: answer.trouble },
      )
    },
  }
}

function Changes({ name, ...rooms }: Rooms & { name: string }) {
  const answer = useAsked<ChangesAnswer>(rooms, `/api/drafts/${name}/changes`)
  if (!answer) return <p role="status">{t(words.comparing)}</p>
  if (!answer.ok) return <TroubleLine trouble={answer.trouble} />
  const { edition, against, changes, persons, open_jobs } = answer.value
  const headings = [...new Set(changes.map(({ heading }) => heading))]
  return (
    <>
      <p class="d-text">
        {against === null ? t(words.firstEdition, { edition }) : t(words.comparedWith, { edition, against })}
      </p>
      {against !== null && changes.length === 0 && <p class="d-text">{t(words.sameAsBefore)}</p>}
      {headings.map((heading) => (
        <div key={heading}>
          <h3 class="step-phase">{heading}</h3>
          <ul class="plain-list">
            {changes
              .filter((change) => change.heading === heading)
              .map(({ says }) => (
                <li key={says}>{says}</li>
              ))}
          </ul>
        </div>
      ))}
      {persons.length > 0 && <p class="d-text">{t(words.toldTo, { persons: persons.join(', ') })}</p>}
      {open_jobs > 0 && <p class="d-text">{t(words.goOn, { n: open_jobs })}</p>}
    </>
  )
}
