/** What a call that is being taken comes to, at the desk and in the bay: its procedure, what is known of the vehicle, the verdict. */
import { useEffect, useState } from 'preact/hooks'
import type { Bundle } from '../procedure/bundle'
import type { BundleRow } from '../store'
import { dueOf, intervalOf, warningOf, type EnquiryDraft, type KnownVehicle } from '../work/enquiry'
import { isoDay } from '../work/format'
import { knownVehicle, NOTHING_KNOWN } from '../work/known-vehicle'
import { newestByCode } from '../work/offered'
import { reading } from './reading'
import type { Rooms } from './rooms'

/** The procedure that the engine's code asks for, and the bundles that are offered. */
function useProcedure({ store }: Rooms, code: string) {
  const [bundles, setBundles] = useState<readonly BundleRow[]>([])
  const [bundle, setBundle] = useState<Bundle | null>(null)
  const changed = store.changed.value
  useEffect(() => reading(store.bundles(), setBundles), [store, changed])
  const chosen = newestByCode(bundles).find((each) => each.code === code)?.bundle.bundle
  useEffect(() => {
    setBundle(null)
    return chosen === undefined ? undefined : reading(store.bundle(chosen), setBundle)
  }, [store, chosen])
  return { bundles, bundle }
}

/** @param look who knows of a vehicle besides this device */
export function useCall(
  rooms: Rooms,
  draft: EnquiryDraft,
  look: (from: From, plate: string) => Promise<KnownVehicle> = knownHere,
) {
  const { bundles, bundle } = useProcedure(rooms, draft.code.trim())
  const [known, setKnown] = useState<KnownVehicle>(NOTHING_KNOWN)
  const { store, sync } = rooms
  const { plate } = draft
  useEffect(() => reading(look({ store, sync }, plate), setKnown), [look, store, sync, plate])
  const today = isoDay(new Date())
  const interval = intervalOf(bundle)
  const verdict = dueOf(draft, interval, known, today)
  return { bundles, bundle, known, today, interval, verdict, warned: warningOf(draft, verdict) }
}

type From = Pick<Rooms, 'store' | 'sync'>

const knownHere = ({ store }: From, plate: string) => knownVehicle(store, plate)
