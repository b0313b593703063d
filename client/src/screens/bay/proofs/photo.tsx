/** A photo: camera in the page first, a file second. What was awaited is kept before the camera opens. */
import type { JSX } from 'preact'
import { useEffect, useRef, useState } from 'preact/hooks'
import {
  Camera,
  NoPicture,
  fromFile,
  type CameraTrouble,
  type Picture,
  type Seen,
} from '../../../instruments/camera'
import { MissingKey, PlainKey } from '../../../parts/keys'
import { BackKey } from '../act-keys'
import { Frame } from '../frame'
import { LampKey, Outline } from './finder'
import type { ProofProps } from './props'
import { measure, shotOf, type Shot } from './photo-shot'
import { TakenScreen, type Taken } from './photo-taken'
import * as says from '../../../words/en/bay/proofs/photo'
import { t } from '../../../words/message'

export interface PhotoProps extends ProofProps {
  /** Keeps the intent; awaited before any camera opens, because opening one may end this page. */
  intend: () => Promise<void>
  /** Hears of each shot at once: it may be kept. */
  expect: (photo: Blob) => void
}

type Stage =
  | { at: 'opening' }
  | { at: 'finder'; light: Camera | null }
  | { at: 'no-camera'; trouble: CameraTrouble }
  | { at: 'taken'; shot: Shot; before: Shot | null }

const words = (error: unknown): CameraTrouble =>
  error instanceof NoPicture ? error.trouble : { message: t(says.notTaken), hint: t(says.takeItAgain) }

function useCamera({ intend, expect }: Pick<PhotoProps, 'intend' | 'expect'>) {
  const [stage, setStage] = useState<Stage>({ at: 'opening' })
  const [trouble, setTrouble] = useState<CameraTrouble | null>(null)
  const camera = useRef<Camera | null>(null)
  const video = useRef<HTMLVideoElement>(null)
  const last = useRef<Shot | null>(null)
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
      setStage({ at: 'finder', light: camera.current.hasLamp ? camera.current : null })
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
  // biome-ignore lint/correctness/useExhaustiveDependencies: once for each stage, with the `open` of the drawing that began it
  useEffect(() => {
    if (stage.at === 'opening') void open()
    if (stage.at === 'taken') return () => URL.revokeObjectURL(stage.shot.url)
    return undefined
  }, [stage])
  const show = (shot: Shot, before: Shot | null) => {
    setTrouble(null)
    last.current = shot
    setStage({ at: 'taken', shot, before })
  }
  const attempt = async (take: (seen: Seen) => Promise<Picture>) => {
    let measured: Shot['quality'] = Promise.resolve(null)
    const seen = (bytes: Blob) => {
      expect(bytes)
      measured = measure(bytes)
    }
    try {
      const picture = await take(seen)
      show(shotOf(picture, measured), last.current)
    } catch (error) {
      setTrouble(words(error))
    }
  }
  const shoot = async () => {
    const [eye, seen] = [camera.current, video.current]
    if (eye && seen) await attempt((heard) => eye.shoot(seen, heard))
  }
  const pick = async (file: File | undefined) => {
    if (file) await attempt((heard) => fromFile(file, heard))
  }
  return { stage, trouble, video, again: () => setStage({ at: 'opening' }), shoot, pick, show }
}

/** Opens the phone's own camera or its pictures; says `picked` in the record, because such a file may be old. */
function FileKey({ label, pick }: { label: string; pick: (file: File | undefined) => void }) {
  return (
    <label class="key-main key-plain file-key">
      <strong>{label}</strong>
      <small>{t(says.recordedAsPicked)}</small>
      <input
        type="file"
        accept="image/*"
        capture="environment"
        aria-label={label}
        onChange={(event) => pick(event.currentTarget.files?.[0])}
      />
    </label>
  )
}

interface CameraProps extends PhotoProps {
  /** Under the finder, and where no camera opens. */
  beside?: JSX.Element | undefined
  taken: (taken: Taken) => JSX.Element
}

export function CameraScreen(props: CameraProps) {
  const { proof } = props
  const { stage, trouble, video, again, shoot, pick, show } = useCamera(props)
  const shown = props.trouble ?? (trouble && { code: 'camera', ...trouble })
  if (stage.at === 'taken') {
    const { shot, before } = stage
    return props.taken({
      shot,
      before,
      trouble: shown,
      again,
      takeBefore: () => before && show(shotOf(before.picture, before.quality), null),
    })
  }
  const words = (
    <>
      {proof.hint !== undefined && <p>{proof.hint}</p>}
      {props.beside}
    </>
  )
  if (stage.at === 'no-camera') {
    return (
      <Frame
        head={props.head}
        title={proof.label}
        trouble={shown ?? { code: 'camera', ...stage.trouble }}
        side={<BackKey back={props.back} />}
        main={<FileKey label={t(says.chooseAPhoto)} pick={(file) => void pick(file)} />}
      >
        {words}
      </Frame>
    )
  }
  return (
    <Frame
      head={props.head}
      title={proof.label}
      trouble={shown}
      side={<BackKey back={props.back} />}
      main={
        stage.at === 'finder' ? (
          <PlainKey
            label={t(says.takeThePhoto)}
            {...(proof.hint === undefined ? {} : { note: t(says.restThePhone) })}
            onPress={() => void shoot()}
          />
        ) : (
          <MissingKey label={t(says.cameraOpens)} />
        )
      }
    >
      <div class="finder">
        <video ref={video} playsInline muted aria-label={t(says.cameraPicture)} />
        <Outline />
        {stage.at === 'finder' && stage.light && <LampKey light={(lit) => stage.light!.lamp(lit)} />}
      </div>
      {words}
    </Frame>
  )
}

export function PhotoScreen(props: PhotoProps) {
  return (
    <CameraScreen {...props} taken={(taken) => <TakenScreen key={taken.shot.url} of={props} {...taken} />} />
  )
}
