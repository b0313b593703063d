/** What is seen of a span that is listened to: how loud it is, the three plucks, and on which side of its window it lies. */
import type { ReadonlySignal } from '@preact/signals'
import { Seal } from '../../../parts/seal'
import type { Verdict } from '../../../instruments/pluck-session'
import type { Level } from './pluck-ear'
import * as words from '../../../words/en/bay/proofs/pluck-parts'
import { t } from '../../../words/message'

const WIDTH = 332
/** From a quiet room to the most that a microphone takes, dB of full scale. */
const LEAST_DB = -70
const HEIGHT = 24

const across = (db: number) => Math.min(WIDTH, Math.max(0, (1 - db / LEAST_DB) * WIDTH))

/** The only part that is drawn anew at each level, twenty times a second. */
export function LevelBar({ level }: { level: ReadonlySignal<Level> }) {
  const { db, peak } = level.value
  return (
    <div class="pluck-level">
      <span>{t(words.whatItHears)}</span>
      <svg
        viewBox={`-2 -2 ${WIDTH + 4} ${HEIGHT + 4}`}
        role="meter"
        aria-label={t(words.soundLevel)}
        aria-valuemin={LEAST_DB}
        aria-valuemax={0}
        aria-valuenow={Math.round(Math.max(db, LEAST_DB))}
      >
        <rect width={WIDTH} height={HEIGHT} fill="var(--plate)" stroke="var(--line)" stroke-width="1.3" />
        <rect width={across(db)} height={HEIGHT} fill="var(--act)" />
        <rect x={Math.min(WIDTH - 4, across(peak))} width="4" height={HEIGHT} fill="var(--ink)" />
      </svg>
    </div>
  )
}

/** Three places, each filled by a pluck that counts. */
export function Places({ taken }: { taken: readonly string[] }) {
  return (
    <ol class="pluck-places" aria-label={t(words.threePlucks)}>
      {[0, 1, 2].map((at) => (
        <li key={at}>
          <Seal
            state={at < taken.length ? 'holds' : at === taken.length ? 'now' : 'todo'}
            size={34}
            label={t(words.pluck, { at: at + 1 })}
          />
          <b>{taken[at] ?? ''}</b>
        </li>
      ))}
    </ol>
  )
}

const SAID: Record<Verdict, string> = {
  'in-range': t(words.inRange),
  low: t(words.tooLow),
  high: t(words.tooHigh),
}
/** How far the reading's mark stands from the window's. */
const ASIDE: Record<Verdict, number> = { 'in-range': 0, low: -26, high: 26 }

/** The reading's mark above, the window's below: one line where they meet, an arrow to the side where not. */
export function VerdictWords({ verdict }: { verdict: Verdict }) {
  const aside = ASIDE[verdict]
  const tip = 42 + 1.3 * aside
  return (
    <div class="pluck-verdict">
      <svg viewBox="0 0 84 76" aria-hidden="true">
        <rect x="1" y="1" width="82" height="36" fill="var(--seat)" stroke="var(--rim)" stroke-width="1.3" />
        <rect x="1" y="39" width="82" height="36" fill="var(--seat)" stroke="var(--rim)" stroke-width="1.3" />
        <rect x="37" y="40" width="10" height="34" fill="var(--paint)" />
        {aside === 0 ? (
          <rect x="37" y="2" width="10" height="38" fill="var(--paint)" />
        ) : (
          <path d={`M${tip} 19 ${tip - 0.8 * aside} 5v28Z`} fill="var(--paint)" />
        )}
      </svg>
      <p class={verdict === 'in-range' ? 'figure' : 'figure stop-words'}>{SAID[verdict]}</p>
    </div>
  )
}
