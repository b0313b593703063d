/** Procedures that take a stop otherwise, on a maker's word: an owner reads what is asked for, and publishes by his own key. */
import type { OfferRow, OffersAnswer } from '../../ledger/answers'
import { HoldKey } from '../../parts/keys'
import { MakersWord } from '../../parts/makers-word'
import { useAsked } from '../office/from-server'
import { TroubleLine } from '../office/shell'
import type { Rooms } from '../rooms'
import { stillWaiting } from '../../work/offers'
import { useWriting } from './use-writing'
import * as says from '../../words/en/desk/offers'
import * as state from '../../words/en/work/state'
import { t } from '../../words/message'

export function Offers({ published, ...rooms }: Rooms & { published: readonly string[] }) {
  const answer = useAsked<OffersAnswer>(rooms, '/api/offers')
  const { offers, overtaken } = answer?.ok ? answer.value : { offers: [], overtaken: [] }
  const waiting = stillWaiting(offers, published)
  return (
    <>
      {waiting.map((offer) => (
        <Offer key={offer.bundle} {...rooms} offer={offer} />
      ))}
      {overtaken.map(({ bundle, name, edition, published: newest }) => (
        <p key={bundle} class="d-text">
          {t(says.overtaken, { procedure: t(state.edition, { name, edition }), published: newest })}
        </p>
      ))}
    </>
  )
}

function Offer({ offer, ...rooms }: Rooms & { offer: OfferRow }) {
  const { write, trouble } = useWriting(rooms, null)
  const { bundle, name, edition, engine_codes, rules } = offer
  const publish = () =>
    write(async (w) => void (await w.entry('bundle.published', { bundle, name, edition, engine_codes })))
  return (
    <section class="offer">
      <h2 class="phase-head">{t(says.waits, { procedure: t(state.edition, { name, edition }) })}</h2>
      <p class="d-text">{t(says.waitsMeans, { n: rules.length })}</p>
      {rules.map((rule) => (
        <MakersWord key={rule.id} rule={rule} isOpen />
      ))}
      <p class="hash">{bundle}</p>
      {rooms.store.writer.value && (
        <div class="approve">
          <HoldKey label={t(says.publishIt)} done={t(says.published)} onHeld={publish} />
        </div>
      )}
      <TroubleLine trouble={trouble} />
    </section>
  )
}
