/** The split picture: two halves of one mark, in line or apart. It says of a photo whether it is sharp, of two marks how they stand. */

const MIDDLE = 56
/** So far the lower half may move before it leaves the plate. */
const MOST = 44

/** @param apart how far the lower half stands to the right of the upper one; 1 is a whole stripe beside it */
export function Halves({ apart }: { apart: number }) {
  const moved = Math.max(-MOST, Math.min(MOST, apart * 16))
  return (
    <svg class="halves" viewBox="0 0 112 70" aria-hidden="true">
      <path
        d="M0.7 0.7H111.3V34H0.7ZM0.7 36H111.3V69.3H0.7Z"
        fill="var(--seat)"
        stroke="var(--rim)"
        stroke-width="1.3"
      />
      <path d={`M${MIDDLE} 5V34`} stroke="var(--paint)" stroke-width="8" />
      <path d={`M${MIDDLE + moved} 36V65`} stroke="var(--paint)" stroke-width="8" />
      <path d="M0 35H112" stroke="var(--joint)" stroke-width="2" />
    </svg>
  )
}
