/** The ear as a screen uses it: listen, take three plucks, write the reading. Tests reach it by window.ear. */
import { nearRange } from '../../../client/src/instruments/pluck'
import {
  listen,
  type ListenEvent,
  type Listening,
  NoMicrophone,
} from '../../../client/src/instruments/pluck-listen'
import { NEW_SESSION, take, type Window as Limits } from '../../../client/src/instruments/pluck-session'
import { pluckReading } from '../../../client/src/instruments/pluck-sheet'

let listening: Listening | null = null
let session = NEW_SESSION
let window_: Limits
const events: ListenEvent[] = []

const base64 = (bytes: Uint8Array) => {
  let text = ''
  for (const byte of bytes) text += String.fromCharCode(byte)
  return btoa(text)
}

async function begin(limits: Limits) {
  const { low, high, nominal } = limits
  window_ = limits
  session = NEW_SESSION
  events.length = 0
  try {
    listening = await listen(nearRange(Number(low), Number(high), Number(nominal)), (event) => {
      events.push(event)
      if (event.kind === 'pluck') session = take(session, event, limits)
    })
    return { microphone: listening.microphone, warning: listening.warning }
  } catch (cause) {
    if (cause instanceof NoMicrophone) return cause.trouble
    throw cause
  }
}

/** What was heard so far, and how long the sound is that was listened to, in twentieths of a second. */
const heard = () => ({
  plucks: events.flatMap((event) =>
    event.kind === 'pluck' ? [{ reject: event.pluck.reject, hz: event.pluck.comb?.hz ?? null }] : [],
  ),
  levels: events.flatMap((event) => (event.kind === 'level' ? [event.db] : [])),
  lost: events.flatMap((event) => (event.kind === 'lost' ? [event.trouble.code] : [])),
  trouble: session.trouble?.code ?? null,
  end: session.end,
})

async function end() {
  await listening?.close()
  if (!listening || !session.end || !('value' in session.end)) return null
  const { clips, ...reading } = await pluckReading(session.taken, window_, listening.microphone)
  return { ...reading, clips: clips.map(base64) }
}

const ear = { begin, heard, end }
declare global {
  interface Window {
    ear: typeof ear
  }
}
window.ear = ear
