/** Procedures that wait for an owner, as he goes through them. Pure. */
import type { OfferRow } from '../ledger/answers'

/**
 * What still waits of a list when some of it has gone out since: a procedure's edition that is no
 * higher than the one that went out waits no longer.
 */
export function stillWaiting(offers: readonly OfferRow[], published: readonly string[]): OfferRow[] {
  const out = offers.filter(({ bundle }) => published.includes(bundle))
  return offers.filter(({ id, edition }) => !out.some((one) => one.id === id && one.edition >= edition))
}
