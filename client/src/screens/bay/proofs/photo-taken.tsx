/**
 * A photo that was just taken, before it is kept. One of a step that cannot be done again is looked at in full
 * size first: what it shows is covered up by the next step, and nobody can take it anew.
 */
import type { ComponentChildren } from 'preact'
import { useState } from 'preact/hooks'
import type { Picture } from '../../../instruments/camera'
import { HoldKey, MissingKey, PlainKey, SideKey } from '../../../parts/keys'
import { Frame } from '../frame'
import { FullSize, Whole } from './picture'
import { doneWords, type ProofProps } from './props'
import type { Trouble } from '../../../store'
import { judged, type Shot } from './photo-shot'
import { Sharpness } from './sharpness'

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

export interface TakenProps extends Taken {
  of: ProofProps
}

const sizeWords = ({ width, height, bytes, how }: Picture) =>
  `${width} × ${height}, ${Math.ceil(bytes.size / 1000)} kB${how === 'picked' ? ', picked from a file' : ''}`

export function TakenScreen(props: TakenProps) {
  const { of, shot } = props
  const { picture, url } = shot
  const [looked, setLooked] = useState(false)
  const [full, setFull] = useState(false)
  // Only a picture that this browser can draw has a size.
  const isShown = picture.width > 0
  const keep = async () => of.keep({ kind: 'picture', picture: await judged(shot) })
  const look = () => {
    setLooked(true)
    setFull(true)
  }
  if (!of.step.once) {
    return (
      <TakenFrame {...props} main={<HoldKey label="Keep this photo" onHeld={keep} done={doneWords(of)} />}>
        {isShown ? <Whole url={url} /> : <NotShown />}
        <p>{sizeWords(picture)}</p>
      </TakenFrame>
    )
  }
  if (!isShown) {
    return (
      <TakenFrame {...props} main={<MissingKey label="Take it again" note="it cannot be judged here" />}>
        <NotShown />
      </TakenFrame>
    )
  }
  const main = looked ? (
    <HoldKey label="Sharp and whole" note="hold to keep it" onHeld={keep} done={doneWords(of)} />
  ) : (
    <PlainKey label="Look at it full size" note="before it is kept" onPress={look} />
  )
  return (
    <TakenFrame {...props} main={main}>
      {full ? (
        <FullSize url={url} pixels={picture.width} onTap={() => setFull(false)} />
      ) : (
        <Whole url={url} onTap={look} />
      )}
      <p>
        {full
          ? 'Move it with a finger to its corners. A tap shows the whole of it.'
          : 'This cannot be photographed again once the work goes on.'}
      </p>
    </TakenFrame>
  )
}

function TakenFrame({
  of,
  trouble,
  again,
  main,
  children,
  ...taken
}: TakenProps & { main: ComponentChildren; children: ComponentChildren }) {
  return (
    <Frame
      head={of.head}
      title={of.proof.label}
      trouble={trouble}
      deck={
        <>
          <SideKey icon="camera" label="again" onPress={again} />
          {main}
        </>
      }
    >
      {children}
      <Sharpness {...taken} />
    </Frame>
  )
}

const NotShown = () => (
  <div class="finder">
    <p class="finder-words">This kind of photo cannot be shown here. It is kept as it is.</p>
  </div>
)
