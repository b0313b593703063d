/** What a caller is told to do and not to do, and why: to be read out as it stands. */
import { Sign } from '../parts/signs'

export function AdviceWords({
  advice: { because, told },
}: {
  advice: { because: readonly string[]; told: readonly string[] }
}) {
  return (
    <>
      {told.map((each) => (
        <div key={each} class="caution">
          <Sign name="warning" size={58} />
          <p>
            <b>{each}</b>
          </p>
        </div>
      ))}
      {because.map((each) => (
        <p key={each}>{each}</p>
      ))}
    </>
  )
}
