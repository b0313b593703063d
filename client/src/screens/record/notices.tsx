/** What the workshop's statements speak against a job, on its own page: what stands, and what its owner has settled, and why. */
import type { ComponentChildren } from 'preact'
import type { JobNotice, NoticesAnswer } from '../../ledger/answers'
import { timeWords } from '../../work/format'
import { capital } from '../../work/letters'
import type { JobRecord } from '../../work/record'
import { settlingsOf } from '../../work/settled'
import { namesWords } from '../names'
import { useAsked } from '../office/from-server'
import type { Rooms } from '../rooms'
import { Secret } from './steps'
import * as says from '../../words/en/record/notices'
import { pieces, t } from '../../words/message'

interface NoticesProps extends Rooms {
  record: JobRecord
  people: ReadonlyMap<string, string>
  /** What this reader may do about a notice that stands. */
  acts?: ((notice: JobNotice) => ComponentChildren) | undefined
}

export function Notices({ record, people, acts, ...rooms }: NoticesProps) {
  const answer = useAsked<NoticesAnswer>(rooms, `/api/jobs/${record.row.job}/notices`)
  // Recalls stand above this, from what is here already: they are told without a line, too.
  const told = answer?.ok ? answer.value.notices.filter((notice) => notice.can_settle) : []
  if (told.length === 0) return null
  return (
    <section>
      <h2 class="phase-head">{t(says.stated)}</h2>
      <ul class="sentences">
        {told.map((notice) => (
          <li key={`${notice.code} ${notice.tool}`}>
            <p class={notice.is_settled ? '' : 'act-words'}>{capital(notice.message.replace(/\.$/, ''))}.</p>
            <Settlings {...rooms} record={record} people={people} notice={notice} />
            {!notice.is_settled && acts?.(notice)}
          </li>
        ))}
      </ul>
    </section>
  )
}

/** Who settled it, and why; that it stands all the same, where something came since. */
function Settlings({ record, people, notice, ...rooms }: NoticesProps & { notice: JobNotice }) {
  const settlings = settlingsOf(record.held, notice)
  return (
    <>
      {settlings.map(({ entry, because, person, at }) => (
        <p key={entry}>
          {pieces(says.settledBy, {
            who: namesWords([person], people),
            at: timeWords(at),
            because: <Secret {...rooms} of={because} />,
          })}
        </p>
      ))}
      {settlings.length > 0 && !notice.is_settled && <p>{t(says.cameSince)}</p>}
    </>
  )
}
