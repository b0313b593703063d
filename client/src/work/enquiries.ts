/** The calls that no job was opened for, of all that is kept here. */
import type { Body } from '../ledger/bodies'
import type { Store } from '../store'

/** A call that nobody has opened a job for: it stands in the job that would be opened. */
export interface EnquiryRow {
  job: string
  /** The entry that says it. */
  entry: string
  body: Body<'enquiry.taken'>
  at: string
  person: string
  /** When the customer said no; null while it is asked for. */
  declined: string | null
}

/** The newest first. */
export async function enquiries(store: Pick<Store, 'views'>): Promise<EnquiryRow[]> {
  const found = (await store.views()).flatMap(({ job, opened, enquiry, declined = null }) =>
    opened || !enquiry ? [] : [{ job, entry: enquiry.id, declined, ...enquiry }],
  )
  return found.sort((one, other) => (one.at < other.at ? 1 : -1))
}
