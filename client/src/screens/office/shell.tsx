/** The frame of desk and audit: mark, pages, who looks; one column under it. */
import type { ComponentChildren } from 'preact'
import { useEffect, useRef } from 'preact/hooks'
import type { Trouble } from '../../store'
import { zoneWords } from '../../work/format'
import { LICENCES } from '../licences'
import { atDesk } from './atdesk'
import type { Rooms } from '../rooms'
import { TroubleWords } from '../trouble-words'
import '../../parts/parts.css'
import '../app.css'
import './office.css'
import * as says from '../../words/en/office/shell'
import { namesOf, t } from '../../words/message'

export interface Page {
  id: string
  name: string
}

/** An owner may also work at the engine, or look with the auditor's eyes. */
const OWNERS_ROOMS: readonly Page[] = namesOf(says.rooms)

export function Shell({
  pages,
  at,
  room,
  aside,
  children,
  store,
  sync,
}: Rooms & {
  pages: readonly Page[]
  at: string
  room: string
  aside?: ComponentChildren
  children: ComponentChildren
}) {
  const device = store.device.value
  const status = sync.status.value
  const alarm = sync.alarm.value && atDesk(sync.alarm.value)
  return (
    <div class="desk">
      <header class="desk-head">
        <a class="desk-mark" href={`#/${room}`}>
          <svg width="26" height="26" viewBox="0 0 26 26" aria-hidden="true">
            <rect width="26" height="26" fill="var(--seat)" />
            <rect x="10" y="2" width="6" height="22" fill="var(--paint)" />
            <rect y="12.2" width="26" height="1.6" fill="var(--joint)" />
          </svg>
          {t(says.twoTurns)}
        </a>
        <div class="d-small desk-who">
          {device?.role === 'owner' && (
            <ul class="desk-rooms">
              {OWNERS_ROOMS.filter(({ id }) => id !== room).map(({ id, name }) => (
                <li key={id}>
                  <a href={`#/${id}`}>{name}</a>
                </li>
              ))}
            </ul>
          )}
          <p>
            {device?.workshopName}
            {device?.personName ? `, ${device.personName}` : ''} <a href="#/sign-out">{t(says.signOut)}</a>
            {' · '}
            <a href={LICENCES}>{t(says.licences)}</a>
            {' · '}
            {t(says.timesIn, { zone: zoneWords(new Date()) })}
            <span role="status">{status.state === 'idle' ? '' : ` · ${status.words}`}</span>
          </p>
        </div>
        <nav aria-label={t(says.pages)}>
          <ul>
            {pages.map(({ id, name }) => (
              <li>
                <a href={`#/${room}/${id}`} {...(id === at ? { 'aria-current': 'page' as const } : {})}>
                  {name}
                </a>
              </li>
            ))}
          </ul>
        </nav>
      </header>
      {alarm && (
        <div class="desk-alarm" role="alert">
          <p>
            <b>{alarm.message}</b> {alarm.hint}
          </p>
          <button type="button" class="side-key" onClick={() => void sync.dismiss()}>
            {device?.role === 'auditor' ? t(says.writtenDown) : t(says.dealtWith)}
          </button>
        </div>
      )}
      <div class={aside ? 'desk-two' : 'desk-one'}>
        <main>{children}</main>
        {aside && <aside class="desk-aside">{aside}</aside>}
      </div>
    </div>
  )
}

/**
 * A new heading is a new page: it takes the focus, so that it is read out, and names the window.
 *
 * @param title where the heading is a plate or a name: a browser keeps the titles of pages in its history
 */
export function PageHead({ children, title }: { children: ComponentChildren; title?: string }) {
  const heading = useRef<HTMLHeadingElement>(null)
  useEffect(() => heading.current?.focus({ preventScroll: true }), [])
  useEffect(() => {
    const page = title ?? heading.current?.textContent ?? ''
    document.title = t(says.titleOf, { page })
    return () => {
      document.title = t(says.twoTurns)
    }
  })
  return (
    <h1 ref={heading} tabIndex={-1} class="page-head">
      {children}
    </h1>
  )
}

export function TroubleLine({ trouble: told }: { trouble: Trouble | null }) {
  return <TroubleWords trouble={told && atDesk(told)} />
}
