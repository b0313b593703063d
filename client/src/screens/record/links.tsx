/** Addresses that the record leads to, in the room it is read in. */
import { itemOf, type Traced } from '../../work/trace'
import { route } from '../route'

/** At the engine they lead nowhere: what is under an address of the desk is not shown there. */
const isBay = () => route.value.startsWith('#/bay')
const isAudit = () => route.value.startsWith('#/audit')
const traceHref = (traced: Traced) => `#/audit/trace/${encodeURIComponent(itemOf(traced))}`

/** A lot or a tool by its name, which leads to where else it was. */
export function TracedName(traced: Traced) {
  const { by, name } = traced
  if (isBay()) return <>{name}</>
  return <a href={isAudit() ? traceHref(traced) : `#/desk/${by}s/${encodeURIComponent(name)}`}>{name}</a>
}
/** All photos of a job on one page. */
export const photosHref = (job: string): string =>
  `#/${isAudit() ? 'audit' : 'desk'}/photos/${encodeURIComponent(job)}`
export const jobHref = (job: string): string =>
  isAudit() ? `#/audit/find/${encodeURIComponent(job)}` : `#/desk/jobs/${encodeURIComponent(job)}`
