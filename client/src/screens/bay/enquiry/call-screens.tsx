/** Where in a call: the address says which stage is asked, or which call is read. */
import type { Rooms } from '../../rooms'
import { OneCall } from './one-call'
import { TakeCall } from './take-call'

/** Stages have names, jobs a UUID. */
const isJob = (part: string | undefined): part is string => part !== undefined && /^[0-9a-f]{8}-/.test(part)

/** `#/bay/call/STAGE`, `#/bay/call/STAGE/JOB` where one is changed, and `#/bay/call/JOB` or `#/bay/call/JOB/no`. */
export function CallScreens({
  parts: [first, second = ''],
  ...rooms
}: Rooms & { parts: (string | undefined)[] }) {
  if (isJob(first)) return <OneCall key={first} {...rooms} job={first} screen={second} />
  return <TakeCall key={second} {...rooms} asked={first} job={isJob(second) ? second : null} />
}
