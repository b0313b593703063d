/** A photo that no proof of a step asks for: of an answer, of a finding, of why a rule is passed by. */
import type { Picture } from '../../instruments/camera'
import type { Step } from '../../procedure/bundle'
import type { InJob } from './in-job'
import { PhotoScreen } from './proofs/camera-screens'

interface PhotoBesideProps {
  of: Pick<InJob, 'framed' | 'store'>
  /** It can be taken again, whatever the step is. */
  step: Step
  name: string
  label: string
  /** Its hold signs the step. */
  paints?: boolean
  keep: (picture: Picture) => Promise<void>
  back: () => void
}

export function PhotoBeside({ of, step, name, label, paints = false, keep, back }: PhotoBesideProps) {
  return (
    <PhotoScreen
      {...of.framed}
      step={step}
      proof={{ name, kind: 'photo', label }}
      paints={paints}
      given={[]}
      intend={() => Promise.resolve()}
      expect={(photo) => of.store.expectPhoto(photo)}
      keep={(given) => () =>
        given.kind === 'picture' ? keep(given.picture) : Promise.reject(new Error('no picture'))
      }
      back={back}
      fail={null}
    />
  )
}
