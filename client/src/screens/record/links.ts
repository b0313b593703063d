/** Addresses that the record leads to, in the room it is read in. */
import { itemOf, type Traced } from '../../work/trace'
import { route } from '../route'

const isAudit = () => route.value.startsWith('#/audit')
const traceHref = (traced: Traced) => `#/audit/trace/${encodeURIComponent(itemOf(traced))}`

export const toolHref = (tool: string): string =>
  isAudit() ? traceHref({ by: 'tool', name: tool }) : `#/desk/tools/${encodeURIComponent(tool)}`
export const lotHref = (lot: string): string =>
  isAudit() ? traceHref({ by: 'lot', name: lot }) : `#/desk/lots/${encodeURIComponent(lot)}`
export const jobHref = (job: string): string =>
  isAudit() ? `#/audit/find/${encodeURIComponent(job)}` : `#/desk/jobs/${encodeURIComponent(job)}`
