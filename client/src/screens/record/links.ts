/** Addresses that the record leads to, in the room it is read in. */
import { route } from '../route'

const isAudit = () => route.value.startsWith('#/audit')

export const toolHref = (tool: string): string =>
  isAudit()
    ? `#/audit/trace/${encodeURIComponent(`tool ${tool}`)}`
    : `#/desk/tools/${encodeURIComponent(tool)}`
export const lotHref = (lot: string): string =>
  isAudit() ? `#/audit/trace/${encodeURIComponent(`lot ${lot}`)}` : `#/desk/lots/${encodeURIComponent(lot)}`
export const jobHref = (job: string): string =>
  isAudit() ? `#/audit/find/${encodeURIComponent(job)}` : `#/desk/jobs/${encodeURIComponent(job)}`
