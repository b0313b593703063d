/** Which notices and answers of a job its owner has settled, as its log says it. The server's twin is `settled_notices.py`. Pure. */
import type { Ref } from '../ledger/bodies'
import type { Held } from '../store'

export interface Settling {
  entry: string
  because: Ref
  person: string
  at: string
}

/** @returns every good word that settles a notice: two owners may have said it at once, and both stand */
export const settlingsOf = (
  held: readonly Held[],
  { code, tool }: { code: string; tool: string | null },
): Settling[] =>
  held.flatMap(({ entry, standing }) =>
    entry.kind === 'notice.settled' &&
    standing === 'good' &&
    entry.body.notice === code &&
    (entry.body.about ?? null) === tool
      ? [{ entry: entry.id, because: entry.body.because, person: entry.person, at: entry.at }]
      : [],
  )

/** The code under which an owner says that answers were read. */
export const ANSWERED = 'question-answered'

const OWNERS_WORD = ['review.returned', 'review.gap', 'review.approved']

/** The answers after which no owner has said anything yet, in the order of the log: they stay to be read. */
export function unreadAnswers(held: readonly Held[]): string[] {
  const unread: string[] = []
  for (const { entry, standing } of held) {
    if (standing !== 'good') continue
    if (entry.kind === 'review.answered') unread.push(entry.id)
    const isRead = entry.kind === 'notice.settled' && entry.body.notice === ANSWERED
    if (isRead || OWNERS_WORD.includes(entry.kind)) unread.length = 0
  }
  return unread
}
