/** What the check of one bag came to, in lists. */
import type { Finding } from '../../bag/finding'
import type { Verdict } from '../../bag/verify'
import * as words from '../../words/en/check/index'
import { t } from '../../words/message'

export function Findings({ findings }: { findings: readonly Finding[] }) {
  if (findings.length === 0) return null
  return (
    <>
      <h3>{t(words.findings)}</h3>
      <ul class="findings">
        {findings.map((one) => (
          <li key={`${one.code} ${one.file} ${one.what}`}>
            <b>{one.file}</b>: {one.what}. {one.hint} <span class="code">{one.code}</span>
          </li>
        ))}
      </ul>
    </>
  )
}

export function BagVerdict({ verdict }: { verdict: Verdict }) {
  const { findings, unshown, proven, unchecked, unproven, asOf, isTrusted, workshop } = verdict
  return (
    <>
      {asOf && (
        <p>
          {t(words.asOf, asOf)} {isTrusted ? t(words.isTrusted) : t(words.isAnybodys, { workshop })}
        </p>
      )}
      <Findings findings={[...findings, ...unshown]} />
      <Listed title={t(words.proven)} items={proven} />
      <Listed title={t(words.unchecked)} items={unchecked} />
      <Listed
        title={t(words.unproven)}
        items={asOf ? [...unproven, t(words.neverProven), t(words.copiesNotProven)] : []}
      />
    </>
  )
}

function Listed({ title, items }: { title: string; items: readonly string[] }) {
  if (items.length === 0) return null
  return (
    <>
      <h3>{title}</h3>
      <ul>
        {items.map((item) => (
          <li key={item}>{item}</li>
        ))}
      </ul>
    </>
  )
}
