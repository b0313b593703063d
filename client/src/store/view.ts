/**
 * What is kept of a job beside its entries, so that a list of jobs and the next entry's `after`
 * need not read the whole log: a view, grown in the same transaction as the entries.
 */
import type { JobView, PhotoName } from './types'
import type { Body, Ref } from '../ledger/bodies'
import type { Entry } from '../ledger/entry'

export type { JobView }

export const viewKey = (job: string | null): string => job ?? ''

export function emptyView(job: string): JobView {
  return {
    job,
    heads: [],
    missing: [],
    entries: 0,
    opened: null,
    end: null,
    approved: false,
    lastAt: '',
    lastDevice: '',
    lastPerson: '',
    mine: false,
  }
}

/** The view with one more entry. `heldParents` are those of its `after` that are already here. */
export function withEntry(
  { openHere: _, ...view }: JobView,
  entry: Entry,
  mine: boolean,
  heldParents: ReadonlySet<string>,
): JobView {
  const wasNamed = view.missing.includes(entry.id)
  const gaps = entry.after.filter((id) => !heldParents.has(id) && !view.missing.includes(id))
  const isLast = entry.at >= view.lastAt
  const grown: JobView = {
    ...view,
    heads: [...view.heads.filter((id) => !entry.after.includes(id)), ...(wasNamed ? [] : [entry.id])],
    missing: [...view.missing.filter((id) => id !== entry.id), ...gaps],
    entries: view.entries + 1,
    ...saidBy(view, entry),
    lastAt: isLast ? entry.at : view.lastAt,
    lastDevice: isLast ? entry.device : view.lastDevice,
    lastPerson: isLast ? entry.person : view.lastPerson,
    mine: view.mine || mine,
  }
  return withOpenHere(grown)
}

/** The view once an entry that was unread before can be read: it is in its place already, and now says something. */
export function withRead({ openHere: _, ...view }: JobView, entry: Entry): JobView {
  return withOpenHere({ ...view, ...saidBy(view, entry) })
}

const saidBy = (
  view: Omit<JobView, 'openHere'>,
  entry: Entry,
): Pick<JobView, 'opened' | 'enquiry' | 'declined' | 'end' | 'approved'> => ({
  opened: view.opened ?? openingOf(entry),
  ...callOf(entry),
  end: entry.kind === 'job.closed' ? entry.body.end : view.end,
  approved: view.approved || entry.kind === 'review.approved',
})

const withOpenHere = (view: JobView): JobView =>
  view.mine && view.opened && view.end === null ? { ...view, openHere: 1 } : view

function callOf({ id, kind, body, at, person }: Entry): Pick<JobView, 'enquiry' | 'declined'> {
  if (kind === 'enquiry.taken') return { enquiry: { id, body, at, person } }
  return kind === 'enquiry.declined' ? { declined: at } : {}
}

function openingOf(entry: Entry): JobView['opened'] {
  if (entry.kind !== 'job.opened') return null
  return { body: entry.body, at: entry.at, person: entry.person }
}

/** The blobs of which an entry is only a description: a photo's bytes, what an instrument saw. */
export const filesOf = (entry: Pick<Entry, 'kind' | 'body'>): string[] =>
  filesSaid(entry).map(({ blob }) => blob)

/** The same, as the entry describes them. */
export function filesSaid({ kind, body }: Pick<Entry, 'kind' | 'body'>): PhotoName[] {
  if (kind === 'photo.taken')
    return [body as Body<'photo.taken'>].map(({ blob, size, type }) => ({ blob, size, type }))
  if (kind === 'reading.taken') return (body as Body<'reading.taken'>).saw ?? []
  return []
}

/** Every private value that a body names. */
export function refsOf(body: unknown): Ref[] {
  if (typeof body !== 'object' || body === null) return []
  if (Array.isArray(body)) return body.flatMap(refsOf)
  const fields = Object.entries(body)
  const [only] = fields
  // A ref is an object with the one field `blob`; a photo's own hash is a text beside others.
  if (fields.length === 1 && only?.[0] === 'blob' && typeof only[1] === 'string') return [{ blob: only[1] }]
  return fields.flatMap(([, value]) => refsOf(value))
}
