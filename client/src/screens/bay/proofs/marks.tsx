/** How far a wheel's mark stands from its pointer: one photo, and the cross laid on what counts in it. */
import { useEffect, useState } from 'preact/hooks'
import { marksSheet } from '../../../instruments/marks-sheet'
import type { MarksFound, Point } from '../../../instruments/marks'
import type { Refusal } from '../../../instruments/refusal'
import { MissingKey, PlainKey, SideKey } from '../../../parts/keys'
import { Scale } from '../../../parts/scale'
import { Frame } from '../frame'
import { judge, windowWords, withUnit } from '../../../work/limits'
import { shake } from '../vibrate'
import { ProofKey } from './proof-key'
import type { WayProps } from './props'
import { SealedWith } from './sealed-with'
import {
  askNow,
  countWords,
  lookAt,
  marksOf,
  placesOf,
  zoomOf,
  type Ask,
  type Marks,
  type Tapped,
  type Wheel,
} from './marks-taps'
import { OtherWay, OtherWayKey } from './other-way'
import { CameraScreen, type PhotoProps } from './photo'
import type { Taken } from './photo-taken'
import { doubtWords } from './sharpness'
import { judged, oneShot, useQuality } from './photo-shot'
import { Loupe, TappedPhoto, WholePhoto, type PhotoShown } from './tapboard'
import './instruments.css'
import * as words from '../../../words/en/bay/proofs/marks'
import { t } from '../../../words/message'
import { BackKey, NotLikeThat } from '../act-keys'

export function MarksScreen(props: WayProps & PhotoProps) {
  const beside = (
    <>
      <p>{t(words.howToTake)}</p>
      <OtherWay next={props.next} />
    </>
  )
  return (
    <CameraScreen
      {...props}
      beside={beside}
      taken={(taken) => <OnPhoto key={taken.shot.url} of={props} {...taken} />}
    />
  )
}

interface OnPhotoProps extends Taken {
  of: WayProps
}

function OnPhoto(props: OnPhotoProps) {
  const { of, shot, again, trouble } = props
  const [tapped, setTapped] = useState<Tapped>([])
  const doubt = doubtWords(useQuality(shot))
  const { width, height } = shot.picture
  const teeth = of.bundle.drive.wheels.find(({ id }) => id === of.proof.wheel)?.teeth ?? 0
  if (width === 0) return <NotShown {...props} />
  const wheel: Wheel = { width, height, teeth }
  const photo: PhotoShown = { url: shot.url, width, height }
  const ask = askNow(tapped, wheel)
  const take = (at: Point) => setTapped([...tapped, at])
  const undo = () => setTapped(tapped.slice(0, -1))
  const tapping = { of, tapped, photo, undo, again, take, trouble }
  if (ask?.whole) return <FirstLook {...tapping} ask={ask} doubt={doubt} />
  if (ask) return <LayCross key={tapped.length} {...tapping} ask={ask} />
  const marks = marksOf(tapped, wheel)!
  const result = { ...props, photo, tapped, marks, undo, tapAgain: () => setTapped([]) }
  return marks.result.ok ? (
    <Found {...result} found={marks.result} />
  ) : (
    <Refused {...result} refusal={marks.result} />
  )
}

function NotShown({ of, again }: OnPhotoProps) {
  return (
    <Frame
      head={of.head}
      title={of.proof.label}
      trouble={{
        code: 'not-shown',
        message: t(words.notShown),
        hint: t(words.notShownHint),
      }}
      side={<BackKey back={of.back} />}
      main={<PlainKey label={t(words.anotherPhoto)} onPress={again} />}
    />
  )
}

interface TappingProps {
  of: WayProps
  tapped: Tapped
  photo: PhotoShown
  ask: Ask
  undo: () => void
  again: () => void
  take: (at: Point) => void
  trouble: Taken['trouble']
}

/** The last tap can always be taken back; before the first, the photo. */
const Undo = ({ tapped, undo, again }: Pick<TappingProps, 'tapped' | 'undo' | 'again'>) =>
  tapped.length > 0 ? (
    <SideKey icon="undo" label={t(words.takeBack)} onPress={undo} />
  ) : (
    <SideKey icon="camera" label={t(words.newPhoto)} onPress={again} />
  )

function FirstLook({
  photo,
  tapped,
  ask,
  doubt,
  take,
  trouble,
  ...keys
}: TappingProps & { doubt: string | null }) {
  const [first] = tapped
  return (
    <Frame
      title={ask.title}
      trouble={trouble}
      side={<Undo tapped={tapped} {...keys} />}
      main={<MissingKey label={t(words.tapThePhoto)} note={t(words.thenCloser)} />}
    >
      <p>{doubt ?? ask.says}</p>
      <WholePhoto photo={photo} places={first ? { hub: first } : {}} label={ask.title} onTap={take} />
    </Frame>
  )
}

function LayCross({ photo, tapped, ask, take, trouble, ...keys }: TappingProps) {
  const [centre, setCentre] = useState<Point>(lookAt(tapped))
  // A glove that hits the key twice has not laid the cross twice.
  const [moved, setMoved] = useState(false)
  const move = (to: Point) => {
    setMoved(true)
    setCentre(to)
  }
  return (
    <Frame
      title={ask.title}
      trouble={trouble}
      side={<Undo tapped={tapped} {...keys} />}
      main={
        moved ? (
          <PlainKey label={t(words.itIsThere)} note={countWords(tapped)} onPress={() => take(centre)} />
        ) : (
          <MissingKey label={t(words.moveThePhoto)} note={countWords(tapped)} />
        )
      }
    >
      <p>{ask.says}</p>
      <Loupe
        photo={photo}
        places={placesOf(ask.once ? tapped : tapped.slice(0, -1))}
        label={ask.title}
        zoom={zoomOf(tapped)}
        centre={centre}
        move={move}
      />
    </Frame>
  )
}

/** A figure outside its window is felt, too. */
const useShake = (isOutside: boolean) =>
  useEffect(() => {
    if (isOutside) shake()
  }, [isOutside])

interface ResultProps extends OnPhotoProps {
  photo: PhotoShown
  tapped: Tapped
  marks: Marks
  undo: () => void
  tapAgain: () => void
}

const VERDICTS: Record<MarksFound['verdict'], string> = {
  'in-line': t(words.inLine),
  'one-out': t(words.oneToothOut),
  'cannot-tell': t(words.cannotTell),
}

function Found({
  of,
  shot,
  trouble,
  again,
  photo,
  tapped,
  marks,
  undo,
  tapAgain,
  found,
}: ResultProps & { found: MarksFound }) {
  const { proof, fail } = of
  const isInside = judge(found.value, proof) === 'inside'
  useShake(!isInside)
  const [one] = useState(oneShot)
  const write = async () => {
    const picture = await judged(shot)
    const sha256 = await of.store.photoId(picture.bytes)
    await of.keep({
      kind: 'measured',
      value: found.value,
      by: 'marks',
      sheet: marksSheet(sha256, marks.taken, found),
      clips: [],
      picture,
    })()
  }
  const side = isInside ? (
    <SideKey icon="undo" label={t(words.takeBack)} onPress={one.unlessKept(undo)} />
  ) : (
    <NotLikeThat fail={fail} instead={<SideKey icon="camera" label={t(words.newPhoto)} onPress={again} />} />
  )
  const main = isInside ? (
    <ProofKey of={of} label={withUnit(found.value, proof.unit)} onGiven={() => one.keep(write)} />
  ) : found.verdict === 'cannot-tell' ? (
    <PlainKey label={t(words.newPhotoKey)} note={t(words.squareOnCloser)} onPress={again} />
  ) : (
    <PlainKey label={t(words.tapAgain)} note={windowWords(proof)} onPress={tapAgain} />
  )
  return (
    <Frame head={of.head} title={proof.label} trouble={trouble} side={side} main={main}>
      <p class="figure marks-verdict">{VERDICTS[found.verdict]}</p>
      <p class={isInside ? undefined : 'stop-words'}>{found.message}</p>
      <TappedPhoto photo={photo} places={placesOf(tapped)} />
      <Scale {...proof} unit={proof.unit ?? ''} readings={[found.value]} />
      <p class="soft">{isInside || found.verdict !== 'in-line' ? found.hint : t(words.outsideWindow)}</p>
      {isInside && <SealedWith {...of} />}
    </Frame>
  )
}

/** Taps cannot help a photo of this kind. */
const NEW_PHOTO = new Set(['off-centre', 'too-small', 'tilted'])

function Refused({ of, again, photo, tapped, tapAgain, refusal }: ResultProps & { refusal: Refusal }) {
  const { next, fail } = of
  const isFar = refusal.code === 'far-apart'
  const main =
    isFar && next ? (
      <OtherWayKey next={next} />
    ) : NEW_PHOTO.has(refusal.code) ? (
      <PlainKey label={t(words.newPhotoKey)} onPress={again} />
    ) : (
      <PlainKey label={t(words.tapAgain)} onPress={tapAgain} />
    )
  const side = NEW_PHOTO.has(refusal.code) ? (
    <SideKey icon="undo" label={t(words.tapAgainSide)} onPress={tapAgain} />
  ) : (
    <NotLikeThat
      fail={isFar ? fail : null}
      instead={<SideKey icon="camera" label={t(words.newPhoto)} onPress={again} />}
    />
  )
  useShake(isFar)
  return (
    <Frame head={of.head} title={of.proof.label} trouble={refusal} side={side} main={main}>
      <TappedPhoto photo={photo} places={placesOf(tapped)} />
    </Frame>
  )
}
