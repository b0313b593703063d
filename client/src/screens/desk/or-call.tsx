/** A job's page, or its call's where nobody has opened it: lists name both alike. */
import type { ComponentChildren } from 'preact'
import { useEffect, useState } from 'preact/hooks'
import { enquiries } from '../../work/enquiries'
import { goTo } from '../office/nav'
import { reading, useChanged } from '../reading'
import type { Rooms } from '../rooms'

export function OrItsCall({ job, store, children }: Rooms & { job: string; children: ComponentChildren }) {
  const [isCall, setCall] = useState(false)
  const changed = useChanged(store)
  useEffect(() => {
    const look = async () => (await enquiries(store)).some((each) => each.job === job)
    return reading(look(), setCall)
  }, [store, job, changed])
  useEffect(() => {
    if (isCall) goTo('desk', 'calls', job)
  }, [isCall, job])
  return <>{children}</>
}
