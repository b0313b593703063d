/** Chunk: the papers of a job, for phone and desk alike. Each is a page that the browser prints; `paper.css` has its size. */
import { useState } from 'preact/hooks'
import type { JobRecord } from '../../work/record'
import { useRecord } from '../record/fetched'
import type { Rooms } from '../rooms'
import { TroubleWords } from '../trouble-words'
import { route } from '../route'
import { PAPERS, paperAt, paperPath, type PaperName } from './address'
import { InvoicePaper } from './invoice'
import { SIZES, type SizeName } from './sizes'
import { Share } from './share'
import { SheetPaper } from './sheet'
import { CoolantNote, OldPartsTag, Sticker } from './stickers'
import '../../parts/parts.css'
import '../app.css'
import './paper.css'
import * as words from '../../words/en/paper/index'
import { t, wordsOf } from '../../words/message'

export { HandOverFacts } from './hand-over-facts'

const NAMES = wordsOf(words.names)

export function Paper(rooms: Rooms) {
  const { job, paper } = paperAt(route.value)
  const isDesk = rooms.store.device.value?.role !== 'mechanic'
  const read = useRecord(rooms, job, isDesk)
  return (
    <div class="paper-room">
      <nav class="paper-nav" aria-label={t(words.papers)}>
        <button type="button" class="paper-back" onClick={() => history.back()}>
          {t(words.back)}
        </button>
        <ul>
          {PAPERS.map((name) => (
            <li key={name}>
              <a
                href={`#${paperPath(job, name)}`}
                {...(name === paper ? { 'aria-current': 'page' as const } : {})}
              >
                {NAMES[name]}
              </a>
            </li>
          ))}
        </ul>
      </nav>
      {read.at === 'reading' && <p role="status">{t(words.reading)}</p>}
      {read.at === 'missing' && <TroubleWords trouble={read.trouble} />}
      {read.at === 'here' && <Shown key={paper} {...rooms} record={read.record} paper={paper} />}
    </div>
  )
}

function Shown({ record, paper, ...rooms }: Rooms & { record: JobRecord; paper: PaperName }) {
  const sizes = SIZES[paper]
  const [size, setSize] = useState<SizeName>(sizes[0]!.name)
  const shown = { ...rooms, record }
  return (
    <main class="paper-main">
      <div class="paper-acts">
        {sizes.length > 1 && <Sizes sizes={sizes} size={size} choose={setSize} />}
        <Print />
      </div>
      <article class={`paper paper-${size}`} aria-label={NAMES[paper]}>
        {paper === 'sheet' && <SheetPaper {...shown} />}
        {paper === 'sticker' && <Sticker {...shown} />}
        {paper === 'tag' && <OldPartsTag {...shown} />}
        {paper === 'coolant' && <CoolantNote {...shown} />}
        {paper === 'invoice' && <InvoicePaper {...shown} />}
      </article>
      {paper === 'sheet' && <Share {...shown} />}
    </main>
  )
}

function Sizes({
  sizes,
  size,
  choose,
}: {
  sizes: readonly { name: SizeName; says: string }[]
  size: SizeName
  choose: (size: SizeName) => void
}) {
  return (
    <fieldset class="paper-sizes">
      <legend>{t(words.size)}</legend>
      {sizes.map(({ name, says }) => (
        <label key={name}>
          <input type="radio" name="size" checked={name === size} onChange={() => choose(name)} />
          {says}
        </label>
      ))}
    </fieldset>
  )
}

/** The browser's own print: it also writes a PDF where there is no printer. */
function Print() {
  if (typeof print !== 'function') return <p>{t(words.cannotPrint)}</p>
  return (
    <p class="paper-print">
      <button type="button" class="side-key t-key" onClick={() => print()}>
        {t(words.print)}
      </button>
      <span>{t(words.noPrinter)}</span>
    </p>
  )
}
