/** Who is who: the names of persons, as far as they are disclosed here. */
import { useEffect, useState } from 'preact/hooks'
import type { Ref } from '../ledger/bodies'
import { CONSOLE } from '../ledger/entry'
import type { Held } from '../store'
import type { Rooms } from './rooms'
import * as words from '../words/en/names'
import { t } from '../words/message'
import { reading } from './reading'

/** The newest name that was stated of each person. */
export function nameRefs(statements: readonly Held[]): Map<string, Ref> {
  const names = new Map<string, Ref>()
  for (const { entry, standing } of statements)
    if (entry.kind === 'person.named' && standing !== 'doubted') names.set(entry.body.person, entry.body.name)
  return names
}

/** Names by person id; those not here yet are missing. */
/** @param sync absent where no line is waited for */
export function usePeople({
  store,
  sync,
}: Pick<Rooms, 'store'> & Partial<Pick<Rooms, 'sync'>>): ReadonlyMap<string, string> {
  const [people, setPeople] = useState<ReadonlyMap<string, string>>(new Map())
  const changed = store.changed.value
  useEffect(() => {
    let gone = false
    const read = async () => {
      const names = [...nameRefs(await store.statements(['person.named']))]
      const found = await Promise.all(
        names.map(
          async ([person, ref]) =>
            [person, (await store.secretValue(ref)) ?? (await sync?.value(ref)) ?? null] as const,
        ),
      )
      if (!gone)
        setPeople(
          new Map(found.flatMap(([person, name]) => (name === null ? [] : [[person, name] as const]))),
        )
    }
    void read()
    return () => {
      gone = true
    }
  }, [store, sync, changed])
  return people
}

/** The names of those who wrote what this app cannot read, in words. */
export function useUnreadBy(rooms: Rooms): string {
  const [writers, setWriters] = useState<readonly string[]>([])
  const people = usePeople(rooms)
  const { store } = rooms
  const changed = store.changed.value
  useEffect(() => reading(store.unreadBy(), setWriters), [store, changed])
  return namesWords(writers, people)
}

/** Persons by name; who has none here is somebody. */
export function namesWords(persons: readonly string[], people: ReadonlyMap<string, string>): string {
  const names = [
    ...new Set(
      persons.map(
        (person) => people.get(person) ?? (person === CONSOLE ? t(words.workshop) : t(words.somebody)),
      ),
    ),
  ]
  const last = names.pop() ?? t(words.somebody)
  return names.length > 0 ? t(words.and, { names: names.join(', '), last }) : last
}
