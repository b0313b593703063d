/**
 * A photo that was just taken, before it is kept. One of a step that cannot be done again is looked at in full
 * size first: what it shows is covered up by the next step, and nobody can take it anew.
 */
import type { ComponentChildren } from 'preact'
import { useState } from 'preact/hooks'
import type { Picture } from '../../../instruments/camera'
import { MissingKey, PlainKey, SideKey } from '../../../parts/keys'
import { Frame } from '../frame'
import { FullSize, Whole } from './picture'
import { ProofKey } from './proof-key'
import type { ProofProps } from './props'
import { SealedWith } from './sealed-with'
import type { Trouble } from '../../../store'
import { advise } from '../../../instruments/shot-advice'
import { judged, oneShot, useQuality, type Shot } from './photo-shot'
import { Sharpness } from './sharpness'
import * as words from '../../../words/en/bay/proofs/photo-taken'
import { t } from '../../../words/message'

/** What a screen that shows a shot is handed. */
export interface Taken {
  shot: Shot
  /** The one before it, where this is a retake. */
  before: Shot | null
  trouble: Trouble | null
  again: () => void
  /** Back to the shot before; it is then the only one. */
  takeBefore: () => void
}

interface TakenProps extends Taken {
  of: ProofProps
}

const sizeWords = ({ width, height, bytes, how }: Picture) =>
  t(words.size, { width, height, kb: Math.ceil(bytes.size / 1000), how })

/** Too dark or too white to show anything: it may be kept, but that is not what the hand finds first. */
const SHOWS_NOTHING = ['dark', 'blown']

export function TakenScreen(taken: TakenProps) {
  const { of, shot } = taken
  const [one] = useState(oneShot)
  const props = {
    ...taken,
    again: one.unlessKept(taken.again),
    takeBefore: one.unlessKept(taken.takeBefore),
  }
  const { picture, url } = shot
  const [looked, setLooked] = useState(false)
  const [full, setFull] = useState(false)
  const [insists, setInsists] = useState(false)
  const quality = useQuality(shot)
  // Only a picture that this browser can draw has a size.
  const isShown = picture.width > 0
  const keep = () => one.keep(async () => of.keep({ kind: 'picture', picture: await judged(shot) })())
  const look = () => {
    setLooked(true)
    setFull(true)
  }
  if (quality && !insists && SHOWS_NOTHING.includes(advise(quality).code)) {
    return (
      <TakenFrame
        {...props}
        side={<SideKey icon="pen" label={t(words.keepItSo)} onPress={() => setInsists(true)} />}
        main={<PlainKey label={t(words.takeItAgain)} note={t(words.showsNothing)} onPress={props.again} />}
      >
        {isShown ? <Whole url={url} /> : <NotShown />}
      </TakenFrame>
    )
  }
  if (!of.step.once) {
    return (
      <TakenFrame {...props} main={<ProofKey of={of} label={t(words.keepThisPhoto)} onGiven={keep} />}>
        {isShown ? <Whole url={url} /> : <NotShown />}
        <p>{sizeWords(picture)}</p>
      </TakenFrame>
    )
  }
  if (!isShown) {
    return (
      <TakenFrame {...props} main={<MissingKey label={t(words.takeItAgain)} note={t(words.notJudged)} />}>
        <NotShown />
      </TakenFrame>
    )
  }
  const main = looked ? (
    <ProofKey of={of} label={t(words.sharpAndWhole)} onGiven={keep} />
  ) : (
    <PlainKey label={t(words.lookFullSize)} note={t(words.beforeItIsKept)} onPress={look} />
  )
  return (
    <TakenFrame {...props} main={main}>
      {full ? (
        <FullSize url={url} pixels={picture.width} onTap={() => setFull(false)} />
      ) : (
        <Whole url={url} onTap={look} />
      )}
      <p>{full ? t(words.howToMove) : t(words.lastChance)}</p>
    </TakenFrame>
  )
}

function TakenFrame({
  of,
  trouble,
  again,
  side = <SideKey icon="camera" label={t(words.again)} onPress={again} />,
  main,
  children,
  ...taken
}: TakenProps & { side?: ComponentChildren; main: ComponentChildren; children: ComponentChildren }) {
  return (
    <Frame head={of.head} title={of.proof.label} trouble={trouble} side={side} main={main}>
      {children}
      <Sharpness {...taken} />
      <SealedWith {...of} />
    </Frame>
  )
}

const NotShown = () => (
  <div class="finder">
    <p class="finder-words">{t(words.notShown)}</p>
  </div>
)
