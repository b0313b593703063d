/** The way in: an invitation, pasted or opened as a link, and the fingerprint to compare with paper. */
import { useCallback, useEffect, useState } from 'preact/hooks'
import type { Trouble } from '../store'
import { readInvitation, type Invitation } from '../sync/invitation'
import { Lacks, useLacks } from './browser-lacks'
import { chunk, screenOf } from './chunk'
import type { Rooms } from './rooms'
import './app.css'
import * as words from '../words/en/enrol'
import { t } from '../words/message'

const CodeFinder = screenOf(
  chunk(() => import('./bay/proofs/code')),
  (its) => its.CodeFinder,
)

interface Props extends Rooms {
  /** The invitation this address was opened with, or ''. */
  link: string
  onDone: () => void
}

export function Enrol({ store, sync, link, onDone }: Props) {
  const [text, setText] = useState(link)
  const [invitation, setInvitation] = useState<Invitation | null>(null)
  const [trouble, setTrouble] = useState<Trouble | null>(null)
  const [isJoining, setJoining] = useState(false)
  const [isScanning, setScanning] = useState(false)

  const read = useCallback((given: string) => {
    const answer = readInvitation(given)
    setInvitation(answer.ok ? answer.value : null)
    setTrouble(answer.ok ? null : answer.trouble)
  }, [])
  const join = async (accepted: Invitation) => {
    setJoining(true)
    const answer = await sync.enrol(accepted)
    setJoining(false)
    if (answer.ok) onDone()
    else setTrouble(answer.trouble)
  }
  useEffect(() => {
    if (link) read(link)
  }, [link, read])

  if (isScanning) {
    const scanned = (code: string) => {
      setScanning(false)
      setText(code)
      read(code)
    }
    return <Scan read={scanned} leave={() => setScanning(false)} />
  }
  const current = store.device.value
  return (
    <main class="frame">
      <h1 class="t-title">{invitation ? t(words.compareWithThePaper) : t(words.openTheInvitation)}</h1>
      {current && <p>{t(words.alreadyBelongs, { workshopName: current.workshopName })}</p>}
      {invitation ? (
        <Compare invitation={invitation} isJoining={isJoining} onJoin={() => void join(invitation)} />
      ) : (
        <Ways text={text} onText={setText} onRead={() => read(text)} onScan={() => setScanning(true)} />
      )}
      {trouble && (
        <div role="alert">
          <p class="stopped t-key">{trouble.message}</p>
          <p>{trouble.hint}</p>
        </div>
      )}
      {current && (
        <button type="button" class="side-key t-key" onClick={onDone}>
          {t(words.leaveIt)}
        </button>
      )}
    </main>
  )
}

/** The camera works before a phone is enrolled: the decoder is part of the app's own files. */
function Scan({ read, leave }: { read: (code: string) => void; leave: () => void }) {
  return (
    <CodeFinder
      title={t(words.scanTheInvitation)}
      says={t(words.scanHint)}
      read={read}
      type={leave}
      back={leave}
      instead={{ key: t(words.pasteIt), hint: t(words.pasteHint) }}
    />
  )
}

interface WaysProps {
  text: string
  onText: (text: string) => void
  onRead: () => void
  onScan: () => void
}

function Ways({ text, onText, onRead, onScan }: WaysProps) {
  return (
    <>
      <p>{t(words.whereFrom)}</p>
      <button type="button" class="wide-key t-key" onClick={onScan}>
        {t(words.scanTheCode)}
      </button>
      <label>
        <span>{t(words.linkLabel)}</span>
        <textarea
          rows={5}
          value={text}
          autocomplete="off"
          autocapitalize="none"
          spellcheck={false}
          onInput={(event) => onText(event.currentTarget.value)}
        />
      </label>
      <button type="button" class="wide-key t-key" disabled={!text.trim()} onClick={onRead}>
        {t(words.readTheInvitation)}
      </button>
    </>
  )
}

function Compare(props: { invitation: Invitation; isJoining: boolean; onJoin: () => void }) {
  const { invitation, isJoining, onJoin } = props
  const lacks = useLacks()
  const mayJoin = lacks !== null && !lacks.some(({ isNeeded }) => isNeeded)
  return (
    <>
      <p>{t(words.compareFingerprint)}</p>
      <p class="fingerprint t-key">{inGroups(invitation.workshop)}</p>
      <p>{t(words.thisPhoneMay, { role: t(words.may[invitation.role]) })}</p>
      <Lacks lacks={lacks ?? []} />
      {lacks !== null && !mayJoin && <p role="alert">{t(words.cannotJoin)}</p>}
      <button type="button" class="wide-key t-key" disabled={isJoining || !mayJoin} onClick={onJoin}>
        {isJoining ? t(words.joining) : t(words.join)}
      </button>
    </>
  )
}

/** Fours are easier to compare than one long word. */
const inGroups = (fingerprint: string) => (fingerprint.match(/.{1,4}/g) ?? []).join(' ')
