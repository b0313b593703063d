/** What can be odd about a step, and how much: every screen that ranks such things asks here. */

/** The worst first: what cannot be judged here, what may have hurt the engine, then what the evidence lacks, then what was said. */
export const SEVERITY = [
  'not-folded',
  'unread',
  'rule-broken',
  'outside-limits',
  'proof-missing',
  'out-of-order',
  'tool-lost',
  'forked',
  'doubted',
  'concurrent',
  'opened-again',
  'gap',
  'failed',
  'without-permit',
  'passed',
  'unknown',
  'reopened',
  'corrected',
  'gap-accepted',
] as const

const ranks: readonly string[] = SEVERITY

/** The place among all that is odd, 0 the worst; what is not known here may be worse still. */
export const severityOf = (code: string): number => ranks.indexOf(code)

/** Whether it may have hurt the engine, or proves that somebody wrote what he may not. */
export const mayHurt = (code: string): boolean =>
  severityOf(code) >= severityOf('rule-broken') && severityOf(code) <= severityOf('doubted')
