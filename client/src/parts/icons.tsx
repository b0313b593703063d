/** Side-key drawings: solid outlines from our own hand, all in currentColor. */
import type { JSX } from 'preact'

export type IconName =
  | 'say'
  | 'wrench'
  | 'camera'
  | 'not'
  | 'lines'
  | 'back'
  | 'again'
  | 'undo'
  | 'pen'
  | 'board'
  | 'hand'

const DRAWN: Record<IconName, JSX.Element> = {
  say: (
    <>
      <path d="M4 14v10h8l10 9V5L12 14Z" fill="currentColor" />
      <path d="M28 12a10 10 0 0 1 0 14M33 7a17 17 0 0 1 0 24" />
    </>
  ),
  wrench: (
    <>
      <path d="M3 19a8 8 0 0 1 15-4h14l9-2v12l-9-2H18A8 8 0 0 1 3 19Z" />
      <circle cx="10.5" cy="19" r="3" fill="currentColor" stroke="none" />
    </>
  ),
  camera: (
    <>
      <path d="M3 12h9l3-5h14l3 5h9v22H3Z" stroke-linejoin="round" />
      <circle cx="22" cy="22" r="7" />
    </>
  ),
  not: (
    <>
      <path d="M22 4 41 34H3Z" stroke-linejoin="round" />
      <path d="M22 14v9M22 26v4" />
    </>
  ),
  lines: <path d="M4 7h36M4 19h36M4 31h20" stroke-width="5" />,
  back: <path d="M24 6 10 19l14 13M12 19h28" />,
  again: (
    <>
      <path d="M36 19a14 14 0 1 1-5-11" />
      <path d="M32 1v9h-9" />
    </>
  ),
  undo: (
    <>
      <path d="M8 15h20a9 9 0 0 1 0 18H14" />
      <path d="M15 6 6 15l9 9" />
    </>
  ),
  pen: <path d="M7 32 10 23 31 4l7 7-19 18Z" stroke-linejoin="round" />,
  board: <path d="M4 5h36v28H4ZM12 12v14M22 12v14M32 12v14" />,
  hand: <path d="M8 32V16M15 30V8M22 30V6M29 30V8M36 32V18M8 32q14 6 28 0" />,
}

export function Icon({ name, size = 44 }: { name: IconName; size?: number }) {
  return (
    <svg
      width={size}
      height={(size * 38) / 44}
      viewBox="0 0 44 38"
      fill="none"
      stroke="currentColor"
      stroke-width="3.4"
      aria-hidden="true"
    >
      {DRAWN[name]}
    </svg>
  )
}
