/** The camera on a code: it is read as soon as it is in the picture. Typing is always the other way. */
import { useEffect, useRef, useState } from 'preact/hooks'
import { Camera, NoPicture, type CameraTrouble } from '../../../instruments/camera'
import { Scanner } from '../../../instruments/scan'
import type { HeadProps } from '../../../parts/head'
import { PlainKey } from '../../../parts/keys'
import { BackKey } from '../act-keys'
import { Frame } from '../frame'
import type { ProofProps } from './props'
import * as words from '../../../words/en/bay/proofs/code'
import { t } from '../../../words/message'

interface CodeFinderProps {
  head?: HeadProps | undefined
  title: string
  /** What to point it at. */
  says: string
  /** Hears the text of the code, once. */
  read: (text: string) => void
  type: () => void
  back: () => void
  /** The other way in words: on its key, and where the camera does not open. */
  instead?: { key: string; hint: string }
}

const TYPED = { key: t(words.typeIt), hint: t(words.typeHint) }

const troubleOf = (error: unknown, hint: string): CameraTrouble =>
  error instanceof NoPicture ? { ...error.trouble, hint } : { message: t(words.noReader), hint }

/** The camera and the reader live as long as the screen; whatever comes late is closed at once. */
function useReader(read: (text: string) => void, hint: string) {
  const video = useRef<HTMLVideoElement>(null)
  // The camera stays open while its screen is drawn anew: what it reads goes to the screen of then.
  const latest = useRef({ read, hint })
  latest.current = { read, hint }
  const [state, setState] = useState<'opening' | 'looking' | CameraTrouble>('opening')
  useEffect(() => {
    let gone = false
    const open: { close(): void }[] = []
    const kept = <T extends { close(): void }>(thing: T): T => {
      open.push(thing)
      if (gone) thing.close()
      return thing
    }
    const look = async () => {
      const camera = kept(await Camera.open())
      const scanner = kept(await Scanner.open())
      if (gone || !video.current) return
      await camera.show(video.current)
      setState('looking')
      const text = await scanner.read(video.current)
      if (text !== null && !gone) latest.current.read(text)
    }
    look().catch((error: unknown) => !gone && setState(troubleOf(error, latest.current.hint)))
    return () => {
      gone = true
      for (const thing of open) thing.close()
    }
  }, [])
  return { video, state }
}

export function CodeFinder({ head, title, says, read, type, back, instead = TYPED }: CodeFinderProps) {
  const { video, state } = useReader(read, instead.hint)
  const trouble = typeof state === 'object' ? { code: 'no-code', ...state } : null
  return (
    <Frame
      head={head}
      title={title}
      trouble={trouble}
      side={<BackKey back={back} />}
      main={
        <PlainKey
          label={instead.key}
          note={state === 'looking' ? t(words.orHoldStill) : t(words.instead)}
          onPress={type}
        />
      }
    >
      {trouble ? null : (
        <div class="finder finder-code">
          <video ref={video} playsInline muted aria-label={t(words.cameraPicture)} />
        </div>
      )}
      <p>{state === 'opening' ? t(words.cameraOpens) : says}</p>
    </Frame>
  )
}

interface ProofCodeProps extends Pick<CodeFinderProps, 'read' | 'type'> {
  of: ProofProps
  /** What to point it at, where the procedure does not say. */
  says: string
}

/** The code that a proof asks for. */
export const ProofCode = ({ of, says, read, type }: ProofCodeProps) => (
  <CodeFinder
    head={of.head}
    title={of.proof.label}
    says={of.proof.hint ?? says}
    read={read}
    type={type}
    back={of.back}
  />
)
