/** A photo: camera in the page first, a file second. What was awaited is kept before the camera opens. */
import { useEffect, useRef, useState } from 'preact/hooks'
import { Camera, NoPicture, fromFile, type CameraTrouble, type Picture } from '../../../instruments/camera'
import { MissingKey, PlainKey, SideKey } from '../../../parts/keys'
import { Frame } from '../frame'
import type { ProofProps } from './kinds'
import { TakenScreen } from './taken'

export interface PhotoProps extends ProofProps {
  /** Keeps the intent; awaited before any camera opens, because opening one may end this page. */
  intend: () => Promise<void>
}

type Stage = { at: 'opening' } | { at: 'finder' } | { at: 'no-camera'; trouble: CameraTrouble } | { at: 'taken'; picture: Picture; url: string }

const words = (error: unknown): CameraTrouble => (error instanceof NoPicture ? error.trouble : { message: 'The picture was not taken.', hint: 'Take it again.' })

function useCamera(intend: () => Promise<void>) {
  const [stage, setStage] = useState<Stage>({ at: 'opening' })
  const [trouble, setTrouble] = useState<CameraTrouble | null>(null)
  const camera = useRef<Camera | null>(null)
  const video = useRef<HTMLVideoElement>(null)
  const gone = useRef(false)
  const open = async () => {
    try {
      await intend()
      if (!camera.current?.alive) {
        camera.current?.close()
        camera.current = await Camera.open()
      }
      if (gone.current) return camera.current.close()
      if (video.current) await camera.current.show(video.current)
      setStage({ at: 'finder' })
    } catch (error) {
      setStage({ at: 'no-camera', trouble: words(error) })
    }
  }
  useEffect(
    () => () => {
      gone.current = true
      camera.current?.close()
    },
    [],
  )
  useEffect(() => {
    if (stage.at === 'opening') void open()
    if (stage.at === 'taken') return () => URL.revokeObjectURL(stage.url)
    return undefined
  }, [stage])
  const taken = (picture: Picture) => {
    setTrouble(null)
    setStage({ at: 'taken', picture, url: URL.createObjectURL(picture.bytes) })
  }
  const shoot = async () => {
    if (!video.current || !camera.current) return
    try {
      taken(await camera.current.shoot(video.current))
    } catch (error) {
      setTrouble(words(error))
    }
  }
  const pick = async (file: File | undefined) => {
    if (!file) return
    try {
      taken(await fromFile(file))
    } catch (error) {
      setTrouble(words(error))
    }
  }
  const again = () => setStage({ at: 'opening' })
  return { stage, trouble, video, again, shoot, pick }
}

/** Opens the phone's own camera or its pictures; says `picked` in the record, because such a file may be old. */
function FileKey({ label, pick }: { label: string; pick: (file: File | undefined) => void }) {
  return (
    <label class="key-main key-plain file-key">
      <strong>{label}</strong>
      <small>recorded as picked</small>
      <input type="file" accept="image/*" capture="environment" aria-label={label} onChange={(event) => pick(event.currentTarget.files?.[0])} />
    </label>
  )
}

export function PhotoScreen(props: PhotoProps) {
  const { proof } = props
  const { stage, trouble, video, again, shoot, pick } = useCamera(props.intend)
  const shown = props.trouble ?? (trouble && { code: 'camera', ...trouble })
  if (stage.at === 'no-camera') {
    return (
      <Frame
        head={props.head}
        title={proof.label}
        trouble={shown ?? { code: 'camera', ...stage.trouble }}
        deck={
          <>
            <SideKey icon="back" label="back" onPress={props.back} />
            <FileKey label="Choose a photo" pick={(file) => void pick(file)} />
          </>
        }
      >
        {proof.hint !== undefined && <p>{proof.hint}</p>}
      </Frame>
    )
  }
  if (stage.at === 'taken') return <TakenScreen of={props} picture={stage.picture} url={stage.url} trouble={shown} again={again} />
  return (
    <Frame
      head={props.head}
      title={proof.label}
      trouble={shown}
      deck={
        <>
          <SideKey icon="back" label="back" onPress={props.back} />
          {stage.at === 'finder' ? <PlainKey label="Take the photo" {...(proof.hint === undefined ? {} : { note: 'rest the phone' })} onPress={() => void shoot()} /> : <MissingKey label="Camera opens" />}
        </>
      }
    >
      <div class="finder">
        <video ref={video} playsInline muted aria-label="Camera picture" />
      </div>
      {proof.hint !== undefined && <p>{proof.hint}</p>}
    </Frame>
  )
}
