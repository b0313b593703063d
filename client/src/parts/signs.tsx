/**
 * Safety signs, in the colours of ISO 3864 and never used for a state of the work. The triangle is as in ISO 7010 W001;
 * the turning arrows and the drawings inside the other triangles are our own, not registered signs. A red ring forbids what
 * it strikes out, so it stands only where nothing may be turned; which way to turn is a thing to do, on blue.
 */
import type { ComponentChildren, JSX } from 'preact'
import * as words from '../words/en/parts/signs'
import { t } from '../words/message'

const YELLOW = 'var(--iso-yellow)'
const RED = 'var(--iso-red)'
const BLUE = 'var(--iso-blue)'

const inTriangle = (drawn: ComponentChildren) => (
  <>
    <path d="M20 2.5 38 34H2Z" fill={YELLOW} stroke="#000" stroke-width="3.4" stroke-linejoin="round" />
    {drawn}
  </>
)

const forbidden = (drawn: ComponentChildren) => (
  <>
    <circle cx="20" cy="20" r="16.5" fill="#fff" stroke={RED} stroke-width="5" />
    {drawn}
    <path d="M8.5 8.5 31.5 31.5" stroke={RED} stroke-width="5" />
  </>
)

const CLOCKWISE = (
  <g fill="none" stroke="#fff" stroke-width="4">
    <path d="M12.6 27.4a10.5 10.5 0 1 1 17.2-4" />
    <path d="m35 21-5.4 10.5-6.2-9z" fill="#fff" stroke="none" />
  </g>
)

const mandatory = (drawn: ComponentChildren) => (
  <>
    <circle cx="20" cy="20" r="18.5" fill={BLUE} />
    {drawn}
  </>
)

const lines = { fill: 'none', stroke: '#000', 'stroke-width': 2.6 } as const

const DRAWN: Record<string, JSX.Element> = {
  warning: inTriangle(<path d="M18 12h4v11h-4zM18 26h4v4h-4z" />),
  hot: inTriangle(<path d="M12 30h16M14 26q-3-4 0-7t0-6M20 26q-3-4 0-7t0-6M26 26q-3-4 0-7t0-6" {...lines} />),
  electricity: inTriangle(<path d="M22 10 14 22h6l-2 9 9-13h-6l3-8Z" />),
  crushing: inTriangle(<path d="M10 30h20M12 14h16M20 15v6M16 18l4 4 4-4M14 27h12" {...lines} />),
  pinch: inTriangle(
    <>
      <circle cx="15" cy="25" r="5" {...lines} />
      <circle cx="25" cy="25" r="5" {...lines} />
      <path d="M20 11v12" {...lines} />
    </>,
  ),
  pressure: inTriangle(<path d="M13 29h14v-8H13ZM20 21v-9M15 15l5-5 5 5" {...lines} />),
  no_turning: forbidden(
    <>
      <path d="M12 25a9 9 0 1 1 13 3" fill="none" stroke="#000" stroke-width="3" />
      <path d="m27 23 0 8-7-3z" fill="#000" />
    </>,
  ),
  no_force: forbidden(
    <path d="M9 17h13v7H9ZM15 24v8M22 19h9v4h-9" fill="none" stroke="#000" stroke-width="2.6" />,
  ),
  gloves: mandatory(<path d="M12 33V19l3-1v-6h3v5l1-7h3l1 7 2-5 3 1-2 8v12Z" fill="#fff" />),
  clockwise: mandatory(CLOCKWISE),
  anticlockwise: mandatory(<g transform="matrix(-1 0 0 1 40 0)">{CLOCKWISE}</g>),
}

/** What can be drawn; `procedure/language/vocabulary.py` lets a source name no other. */
export const SIGNS = Object.keys(DRAWN)

/** The sign stands beside its words, which say the same: to a screen reader it is the word 'Warning' or nothing. */
export function Sign({ name, size = 36 }: { name: string; size?: number }) {
  return (
    <svg class="sign" width={size} height={size} viewBox="0 0 40 40" role="img" aria-label={t(words.warning)}>
      {DRAWN[name] ?? DRAWN['warning']}
    </svg>
  )
}
