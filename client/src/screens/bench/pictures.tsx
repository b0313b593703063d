/** The pictures of a draft: put in, looked at, taken out. */
import { useEffect, useState } from 'preact/hooks'
import type { DraftAnswer, VersionAnswer } from '../../ledger/answers'
import type { Trouble } from '../../store'
import { megabytes } from '../../sync/sizes'
import { TroubleLine } from '../office/shell'
import type { Rooms } from '../rooms'
import type { ReadPicture } from '../bay/step-picture'
import { readAs, type DraftNow, type WrittenDraft } from './written-draft'
import * as words from '../../words/en/bench/pictures'
import { t } from '../../words/message'

interface PicturesProps extends Rooms {
  name: string
  now: DraftNow
  draft: WrittenDraft
}

/** As the workshop wants names: small letters, digits, - and _, and the ending that the kind has. */
const nameFor = (file: string) =>
  file
    .toLowerCase()
    .replace(/\.jpeg$/, '.jpg')
    .replace(/[^a-z0-9_.-]+/g, '-')

/** A picture of the draft by its name, as the workshop has it. */
export const readerOf =
  ({ sync }: Pick<Rooms, 'sync'>, name: string): ReadPicture =>
  async (asset) => {
    const answer = await sync.askBytes(pathOf(name, asset))
    return answer.ok ? answer.value : null
  }

const pathOf = (name: string, picture: string) =>
  `/api/drafts/${name}/pictures/${encodeURIComponent(picture)}`

export function Pictures({ name, now, draft, ...rooms }: PicturesProps) {
  const [trouble, setTrouble] = useState<Trouble | null>(null)
  const send = async (picture: string, body?: ArrayBuffer) => {
    const headers = {
      ...readAs(now.version),
      ...(body ? { 'Content-Type': 'application/octet-stream' } : {}),
    }
    const asked = body ? { method: 'PUT', body, headers } : { method: 'DELETE', headers }
    const answer = await rooms.sync.send<VersionAnswer>(pathOf(name, picture), asked)
    setTrouble(answer.ok ? null : answer.trouble)
    if (!answer.ok) return
    const others = now.pictures.filter((each) => each.name !== picture)
    const here = body ? [...others, { name: picture, bytes: body.byteLength }] : others
    draft.took(answer.value.version, here)
  }
  return (
    <section>
      <h2 class="phase-head">{t(words.pictures)}</h2>
      <p class="d-text">{t(words.means)}</p>
      <ul class="bench-pictures">
        {now.pictures.map((picture) => (
          <li key={picture.name}>
            <Picture {...rooms} path={pathOf(name, picture.name)} picture={picture} version={now.version} />
            <button
              type="button"
              class="text-key"
              disabled={!now.isKept}
              onClick={() => void send(picture.name)}
            >
              {t(words.takeOut)} <span class="unseen">{picture.name}</span>
            </button>
          </li>
        ))}
      </ul>
      <label class="desk-field">
        {t(words.putIn)}
        <input
          type="file"
          accept="image/jpeg,image/png,image/webp"
          disabled={!now.isKept}
          onChange={(event) => {
            const file = event.currentTarget.files?.[0]
            if (file) void file.arrayBuffer().then((bytes) => send(nameFor(file.name), bytes))
          }}
        />
      </label>
      <TroubleLine trouble={trouble} />
    </section>
  )
}

interface PictureProps extends Rooms {
  path: string
  picture: DraftAnswer['pictures'][number]
  version: string
}

function Picture({ path, picture, version, sync }: PictureProps) {
  const [url, setUrl] = useState<string | null>(null)
  // biome-ignore lint/correctness/useExhaustiveDependencies: of another version it may be another picture
  useEffect(() => {
    let made: string | null = null
    let gone = false
    void sync.askBytes(path).then((answer) => {
      if (answer.ok && !gone) setUrl((made = URL.createObjectURL(answer.value)))
    })
    return () => {
      gone = true
      if (made) URL.revokeObjectURL(made)
    }
  }, [path, version])
  return (
    <figure aria-label={picture.name}>
      {url && <img src={url} alt="" width={240} />}
      <figcaption>
        {picture.name}, {megabytes(picture.bytes)}
      </figcaption>
    </figure>
  )
}
