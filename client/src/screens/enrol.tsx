/** The way in: an invitation, pasted or opened as a link, and the fingerprint to compare with paper. */
import { useEffect, useState } from 'preact/hooks'
import type { Trouble } from '../store'
import { readInvitation, type Invitation } from '../sync'
import { CodeFinder } from './bay/proofs/code'
import { Lacks, useLacks } from './browser-lacks'
import type { Rooms } from './rooms'
import './app.css'

interface Props extends Rooms {
  /** The invitation this address was opened with, or ''. */
  link: string
  onDone: () => void
}

const MAY: Record<Invitation['role'], string> = {
  mechanic: 'work on jobs and sign what was done',
  owner: 'work on jobs, review them and run the workshop',
  auditor: 'look into jobs and verify them',
}

export function Enrol({ store, sync, link, onDone }: Props) {
  const [text, setText] = useState(link)
  const [invitation, setInvitation] = useState<Invitation | null>(null)
  const [trouble, setTrouble] = useState<Trouble | null>(null)
  const [isJoining, setJoining] = useState(false)
  const [isScanning, setScanning] = useState(false)

  const read = (given: string) => {
    const answer = readInvitation(given)
    setInvitation(answer.ok ? answer.value : null)
    setTrouble(answer.ok ? null : answer.trouble)
  }
  const join = async (accepted: Invitation) => {
    setJoining(true)
    const answer = await sync.enrol(accepted)
    setJoining(false)
    if (answer.ok) onDone()
    else setTrouble(answer.trouble)
  }
  useEffect(() => {
    if (link) read(link)
  }, [link])

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
      <h1 class="t-title">{invitation ? 'Compare with the paper' : 'Open the invitation'}</h1>
      {current && (
        <p>
          This phone already belongs to {current.workshopName}. A new invitation replaces its key; everything
          on it stays and is sent as it was signed.
        </p>
      )}
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
          Leave it as it is
        </button>
      )}
    </main>
  )
}

/** The camera works before a phone is enrolled: the decoder is part of the app's own files. */
function Scan({ read, leave }: { read: (code: string) => void; leave: () => void }) {
  return (
    <CodeFinder
      title="Scan the invitation"
      says="Point at the code that the owner shows. What it says is shown before this phone joins."
      read={read}
      type={leave}
      back={leave}
      instead={{ key: 'Paste it', hint: 'Paste the link instead.' }}
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
      <p>The owner hands out an invitation as a code and as a link.</p>
      <button type="button" class="wide-key t-key" onClick={onScan}>
        Scan the code
      </button>
      <label>
        <span>Or paste the link here.</span>
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
        Read the invitation
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
      <p>The workshop’s fingerprint. It must be the same on the workshop’s paper:</p>
      <p class="fingerprint t-key">{inGroups(invitation.workshop)}</p>
      <p>With this invitation this phone may {MAY[invitation.role]}.</p>
      <Lacks lacks={lacks ?? []} />
      {lacks !== null && !mayJoin && (
        <p role="alert">
          This browser cannot join: what it shows as kept would not be so. Open the invitation in another
          browser.
        </p>
      )}
      <button type="button" class="wide-key t-key" disabled={isJoining || !mayJoin} onClick={onJoin}>
        {isJoining ? 'Making the key and asking the workshop' : 'It is the same: join this workshop'}
      </button>
    </>
  )
}

/** Fours are easier to compare than one long word. */
const inGroups = (fingerprint: string) => (fingerprint.match(/.{1,4}/g) ?? []).join(' ')
