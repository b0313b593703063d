/**
 * The page that a customer opens by the code on the sheet: no app is kept here, nothing is stored, nobody signs in.
 * The secret stands behind `#`, which no browser sends; it goes to the workshop in a header, which no log has.
 */
import { render } from 'preact'
import { useEffect, useState } from 'preact/hooks'
import type { CustomerPageAnswer, Problem } from '../../ledger/answers'
import { askAsCustomer } from '../../sync/customer-page'
import { saveFile } from '../save-file'
import { SheetRows } from './sheet-rows'
import * as words from '../../words/en/paper/customer'
import { t } from '../../words/message'

type Told = Pick<Problem, 'message' | 'hint'>
type Asked = { at: 'coming' } | { at: 'here'; page: CustomerPageAnswer } | { at: 'not'; told: Told }

/** A browser answers what it cannot reach by an error without words. */
const NO_LINE: Told = { message: t(words.noLine), hint: t(words.noLineHint) }

async function readPage(secret: string): Promise<Asked> {
  try {
    const answer = await askAsCustomer('/api/page', secret)
    const said: unknown = await answer.json()
    return answer.ok ? { at: 'here', page: said as CustomerPageAnswer } : { at: 'not', told: said as Problem }
  } catch {
    return { at: 'not', told: NO_LINE }
  }
}

function CustomersPage({ secret }: { secret: string }) {
  const [asked, setAsked] = useState<Asked>({ at: 'coming' })
  useEffect(() => void readPage(secret).then(setAsked), [secret])
  if (asked.at === 'coming')
    return (
      <main class="customer" aria-busy="true">
        <h1>{t(words.coming)}</h1>
      </main>
    )
  if (asked.at === 'not')
    return (
      <main class="customer">
        <div role="alert">
          <h1>{asked.told.message}</h1>
          <p>{asked.told.hint}</p>
        </div>
      </main>
    )
  const { workshop, said, until, rows, photos, foot, has_bag } = asked.page
  return (
    <main class="customer paper-a4">
      <header class="paper-head">
        <h1>{t(words.title, { workshop })}</h1>
        <p>{t(words.asOf, { said, until })}</p>
      </header>
      <SheetRows
        rows={rows}
        wordsOf={({ value, is_private }) => (is_private ? (value ?? t(words.erased)) : null)}
      />
      {photos.map(({ blob, label }) => (
        <Photo key={blob} secret={secret} blob={blob} label={label} />
      ))}
      {has_bag && <Bag secret={secret} />}
      <p class="paper-caution">{t(words.caution)}</p>
      <p class="paper-foot">{t(words.foot, { foot })}</p>
    </main>
  )
}

function Photo({ secret, blob, label }: { secret: string; blob: string; label: string }) {
  const [url, setUrl] = useState<string | null>(null)
  const [isGone, setGone] = useState(false)
  useEffect(() => {
    let made: string | null = null
    const show = async () => {
      const answer = await askAsCustomer(`/api/page/photos/${blob}`, secret)
      if (!answer.ok) return setGone(true)
      made = URL.createObjectURL(await answer.blob())
      setUrl(made)
    }
    show().catch(() => setGone(true))
    return () => {
      if (made) URL.revokeObjectURL(made)
    }
  }, [secret, blob])
  return (
    <figure class="customer-photo">
      {url ? <img src={url} alt={label} /> : <p>{t(isGone ? words.photoGone : words.photoComes)}</p>}
      <figcaption>{label}</figcaption>
    </figure>
  )
}

/** The file that proves the page: fetched when it is asked for, and saved as a file of the customer's own. */
function Bag({ secret }: { secret: string }) {
  const [state, setState] = useState<'idle' | 'coming' | 'saved' | Told>('idle')
  const fetchBag = async () => {
    const answer = await askAsCustomer('/api/page/bag', secret)
    if (!answer.ok) return setState((await answer.json()) as Problem)
    saveFile(await answer.blob(), t(words.bagName, { day: new Date().toISOString().slice(0, 10) }))
    setState('saved')
  }
  const press = () => {
    setState('coming')
    fetchBag().catch(() => setState(NO_LINE))
  }
  return (
    <section class="sheet-part customer-bag">
      <h2>{t(words.bagTitle)}</h2>
      <p>{t(words.bagIs)}</p>
      <button type="button" class="side-key t-key" disabled={state === 'coming'} onClick={press}>
        {t(state === 'coming' ? words.bagComes : words.bagTake)}
      </button>
      <p role="status">
        {state === 'saved' && t(words.bagSaved)}
        {typeof state === 'object' && `${state.message} ${state.hint}`}
      </p>
      <p>
        <a href="/check.html" target="_blank" rel="noopener">
          {t(words.bagCheck)}
        </a>
      </p>
    </section>
  )
}

export function showCustomersPage(place: HTMLElement, secret: string): void {
  document.documentElement.dataset['theme'] = 'indoors'
  render(<CustomersPage secret={secret} />, place)
}
