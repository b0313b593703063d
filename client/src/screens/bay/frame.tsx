/**
 * The frame of every bay screen: head band, title, field, deck. One screen, one act: a deck has one main key
 * and one side key at most (a step's has a low one more, for what is found); what does not fit is behind the head band.
 */
import { useEffect, useMemo, useRef } from 'preact/hooks'
import type { ComponentChildren } from 'preact'
import { HeadBand, type HeadProps } from '../../parts/head'
import type { Trouble } from '../../store'
import { firstScreenStands } from './first-screen'
import { hand } from './handedness'

/** Above this many letters a title would need three lines of 31 px. */
const LONG = 40

interface FrameProps {
  head?: HeadProps | undefined
  title: string
  /** One part of the title that says where to look, e.g. a pin's tag. */
  mark?: string | undefined
  trouble?: Trouble | null | undefined
  children?: ComponentChildren
  /** The deck: its side key, where it has one, and its main key. */
  side?: ComponentChildren
  main: ComponentChildren
}

function Title({ title, mark }: { title: string; mark?: string | undefined }) {
  const heading = useRef<HTMLHeadingElement>(null)
  // A new title is a new screen: it takes the focus, so that it is read out and the keys follow it.
  useEffect(() => {
    if (heading.current?.closest('[inert]')) return // only looked at, beside what is being written
    heading.current?.focus({ preventScroll: true })
    scrollTo(0, 0)
  }, [title])
  const at = mark === undefined ? -1 : title.indexOf(mark)
  return (
    <h1 ref={heading} tabIndex={-1} class={title.length > LONG ? 'title title-long' : 'title'}>
      {at < 0 || mark === undefined ? (
        title
      ) : (
        <>
          {title.slice(0, at)}
          <b>{mark}</b>
          {title.slice(at + mark.length)}
        </>
      )}
    </h1>
  )
}

function TroubleWords({ trouble }: { trouble: Trouble | null | undefined }) {
  return (
    <div role="alert">
      {trouble && (
        <p class="trouble">
          <b>{trouble.message}</b> {trouble.hint}
        </p>
      )}
    </div>
  )
}

export function Frame({ head, title, mark, trouble, children, side, main }: FrameProps) {
  useEffect(firstScreenStands, [])
  const band = useMemo(() => head && <HeadBand {...head} />, [head]) // its rule has a mark for each step
  return (
    <main class="bay" data-hand={hand.value}>
      {band}
      <div class={head ? 'field' : 'field field-bare'}>
        <Title title={title} mark={mark} />
        <TroubleWords trouble={trouble} />
        {children}
      </div>
      <div class="deck">
        {side}
        {main}
      </div>
    </main>
  )
}
