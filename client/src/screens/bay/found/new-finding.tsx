/** Something was found at a step that the procedure does not put right: what it is, with a photo. */
import { Choice } from '../../../parts/choice'
import type { OfferNow } from '../../../work/found'
import { numberOr, type StepNow } from '../../../work/job'
import { foundAt, noteFinding } from '../../../work/write-found'
import { useDraft } from '../drafts'
import type { InJob } from '../in-job'
import { ShowWith } from './show-with'
import * as says from '../../../words/en/bay/found/new-finding'
import { t } from '../../../words/message'

/** What is found most, so that nobody has to type in gloves (common practice, no source). */
const USUAL = Object.entries(says.usual).map(([id, message]) => ({ id, says: t(message) }))

interface NewFindingProps extends InJob {
  asked: StepNow
  /** What the procedure calls a finding here; null where it is the mechanic's own. */
  offer: OfferNow | null
  isPhoto: boolean
}

export function NewFinding({ asked, offer, isPhoto, ...inJob }: NewFindingProps) {
  const { store, job, now, act, to, onward } = inJob
  const draft = useDraft(['found', job, asked.step.id, offer?.entry ?? ''], '')
  const here = [asked.step.id, ...(offer ? [offer.entry] : [])]
  const chosen = USUAL.find((row) => row.says === draft[0])
  return (
    <ShowWith
      {...inJob}
      title={offer ? t(says.noteIt) : t(says.whatWasFound)}
      label={t(says.inYourWords)}
      photoLabel={t(says.photoOf, { number: numberOr(asked) })}
      keepLabel={t(says.keepIt)}
      step={asked.step}
      draft={draft}
      isPhoto={isPhoto}
      toPhoto={() => to('found', 'photo', ...here)}
      toWords={() => to('found', 'new', ...here)}
      back={onward}
      keep={(shown) =>
        act.run(
          () => noteFinding(store, job, foundAt(now.held, asked.step.id, offer), shown),
          t(says.isKept),
          onward,
          async () => draft[2](),
        )
      }
    >
      <p>
        <b>{numberOr(asked)}</b> {offer ? offer.says : asked.step.title}
      </p>
      {offer ? (
        <p class="soft">{t(says.offered)}</p>
      ) : (
        <Choice
          label={t(says.whatWasFound)}
          rows={USUAL}
          chosen={chosen?.id ?? null}
          onChoose={(id) => draft[1](USUAL.find((row) => row.id === id)?.says ?? '')}
        />
      )}
    </ShowWith>
  )
}
