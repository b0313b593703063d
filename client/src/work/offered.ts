/** The procedures that a new job may be opened by, by the engine's code. Pure. */
import type { BundleRow } from '../store'

/** Each engine code of the offered bundles, newest edition of each procedure only. */
export function newestByCode(bundles: readonly BundleRow[]): { code: string; bundle: BundleRow }[] {
  const newest = new Map<string, BundleRow>()
  for (const bundle of bundles.filter(({ offered }) => offered)) {
    const known = newest.get(bundle.id)
    if (!known || known.edition < bundle.edition) newest.set(bundle.id, bundle)
  }
  return [...newest.values()]
    .flatMap((bundle) => bundle.engineCodes.map((code) => ({ code, bundle })))
    .sort((a, b) => (a.code < b.code ? -1 : 1))
}
