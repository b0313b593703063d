/** The picture at a step: chosen among the draft's, cut out and pointed at by drawing on it, with a line to remember it by. */
import type { Document } from 'yaml'
import { useEffect, useRef, useState } from 'preact/hooks'
import type { DraftAnswer } from '../../ledger/answers'
import type { Arrow, Crop } from '../../procedure/shape'
import type { ReadPicture } from '../bay/step-picture'
import { lengthAt, namesAt, wordsAt, type Path } from './edits'
import { Words } from './fields'
import { Choose } from '../office/choose'
import { arrowBetween, cropBetween, type Point } from './marks-on-picture'
import type { Put, Value } from './structure'
import { TextKey } from '../text-key'
import * as words from '../../words/en/bench/step-picture-form'
import { t } from '../../words/message'

interface PictureFormProps {
  document: Document
  /** The step in the source. */
  at: Path
  pictures: DraftAnswer['pictures']
  readPicture: ReadPicture
  put: Put
}

export function StepPictureForm({ document, at, pictures, readPicture, put }: PictureFormProps) {
  const place = [...at, 'picture']
  const asset = wordsAt(document, [...place, 'asset']) ?? ''
  const says = wordsAt(document, [...place, 'says']) ?? ''
  const carried = [...Array(lengthAt(document, ['assets'])).keys()].map((nth) =>
    wordsAt(document, ['assets', nth]),
  )
  const choose = (name: string) => {
    if (name === '') return put([place, null])
    const carry = carried.includes(name) ? [] : [[['assets', carried.length], name] as const]
    // Cut and pointer were those of another picture.
    put(...carry, ...(asset ? [[place, null] as const] : []), [
      place,
      { asset: name, ...(says ? { says } : {}) },
    ])
  }
  const options = [...new Set(['', asset, ...pictures.map(({ name }) => name)])]
  return (
    <fieldset>
      <legend>{t(words.picture)}</legend>
      <Choose
        label={t(words.which)}
        value={asset}
        onValue={choose}
        options={options.map((value) => ({ value, words: value || t(words.none) }))}
      />
      {pictures.length === 0 && <p class="d-text">{t(words.putInFirst)}</p>}
      {asset !== '' && (
        <>
          <Words
            label={t(words.remember)}
            value={says}
            onValue={(said) => put([[...place, 'says'], said || null])}
          />
          <Marking
            key={asset}
            asset={asset}
            crop={numbersAt<Crop>(document, [...place, 'crop'])}
            arrow={numbersAt<Arrow>(document, [...place, 'arrow'])}
            readPicture={readPicture}
            put={(name, numbers) => put([[...place, name], null], [[...place, name], numbers])}
          />
        </>
      )}
    </fieldset>
  )
}

function numbersAt<T>(document: Document, path: Path): T | null {
  const names = namesAt(document, path)
  if (names.length === 0) return null
  return Object.fromEntries(names.map((name) => [name, Number(wordsAt(document, [...path, name]))])) as T
}

interface MarkingProps {
  asset: string
  crop: Crop | null
  arrow: Arrow | null
  readPicture: ReadPicture
  put: (name: 'crop' | 'arrow', numbers: Value | null) => void
}

/** The whole picture, on which a part and an arrow are drawn; each of their figures can be typed, too. */
function Marking({ asset, crop, arrow, readPicture, put }: MarkingProps) {
  const url = useUrl(asset, readPicture)
  const [tool, setTool] = useState<'crop' | 'arrow'>('crop')
  const [begun, begin] = useState<Point | null>(null)
  const [now, move] = useState<Point | null>(null)
  const box = useRef<HTMLDivElement>(null)
  const at = ({ clientX, clientY }: PointerEvent): Point => {
    const { left, top, width, height } = box.current!.getBoundingClientRect()
    const within = (share: number) => Math.round(100 * Math.min(1, Math.max(0, share)))
    return { x: within((clientX - left) / width), y: within((clientY - top) / height) }
  }
  const shape = () => {
    const { width, height } = box.current!.getBoundingClientRect()
    return width / height
  }
  const drawn = begun && now
  const cut = drawn && tool === 'crop' ? cropBetween(begun, now) : crop
  const pointed = drawn && tool === 'arrow' ? arrowBetween(begun, now, shape()) : arrow
  const end = () => {
    if (drawn && tool === 'crop' && cut) put('crop', asText(cut))
    if (drawn && tool === 'arrow' && pointed) put('arrow', asText(pointed))
    begin(null)
    move(null)
  }
  if (url === null) return <p role="status">{t(words.comes)}</p>
  return (
    <>
      <p class="step-acts">
        {(['crop', 'arrow'] as const).map((each) => (
          <button
            key={each}
            type="button"
            class="text-key"
            aria-pressed={tool === each}
            onClick={() => setTool(each)}
          >
            {t(words.tools[each])}
          </button>
        ))}
      </p>
      <div
        class="bench-marking"
        ref={box}
        onPointerDown={(event) => {
          event.preventDefault()
          event.currentTarget.setPointerCapture(event.pointerId)
          begin(at(event))
        }}
        onPointerMove={(event) => begun && move(at(event))}
        onPointerUp={end}
        onPointerCancel={() => begin(null)}
      >
        <img src={url} alt={asset} draggable={false} />
        {cut && (
          <span
            class="bench-cut"
            style={{
              left: `${cut.left_percent}%`,
              top: `${cut.top_percent}%`,
              width: `${cut.width_percent}%`,
              height: `${cut.height_percent}%`,
            }}
          />
        )}
        {pointed && (
          <svg
            class="bench-arrow"
            aria-hidden="true"
            viewBox="-40 -14 40 28"
            style={{
              left: `${pointed.x_percent}%`,
              top: `${pointed.y_percent}%`,
              transform: `rotate(${-pointed.angle_deg}deg)`,
            }}
          >
            <path d="M-2 0H-38M-2 0L-14 -11M-2 0L-14 11" />
            <path class="bench-arrow-light" d="M-2 0H-38M-2 0L-14 -11M-2 0L-14 11" />
          </svg>
        )}
      </div>
      <Figures name="crop" numbers={crop} put={put} />
      <Figures name="arrow" numbers={arrow} put={put} />
    </>
  )
}

interface FiguresProps {
  name: 'crop' | 'arrow'
  numbers: Crop | Arrow | null
  put: MarkingProps['put']
}

function Figures({ name, numbers, put }: FiguresProps) {
  if (!numbers) return null
  const all = asText(numbers)
  return (
    <div class="bench-figures">
      {Object.entries(all).map(([field, value]) => (
        <Words
          key={field}
          label={t(words.figures[field as keyof typeof words.figures])}
          value={value}
          onValue={(typed) => put(name, { ...all, [field]: typed })}
        />
      ))}
      <TextKey says={t(words.takeOff[name])} onPress={() => put(name, null)} />
    </div>
  )
}

const asText = (numbers: Crop | Arrow): Record<string, string> =>
  Object.fromEntries(Object.entries(numbers).map(([name, value]) => [name, String(value)]))

function useUrl(asset: string, read: ReadPicture): string | null {
  const [url, setUrl] = useState<string | null>(null)
  // biome-ignore lint/correctness/useExhaustiveDependencies: read anew for another picture alone
  useEffect(() => {
    let made: string | null = null
    let isGone = false
    void read(asset).then((bytes) => {
      if (bytes && !isGone) setUrl((made = URL.createObjectURL(bytes)))
    })
    return () => {
      isGone = true
      if (made) URL.revokeObjectURL(made)
    }
  }, [asset])
  return url
}
