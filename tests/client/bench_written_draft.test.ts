/** A draft at the bench: nothing that was typed is lost, and nobody's work is written over. */
import { beforeEach, expect, it, vi } from 'vitest'
import { AGAIN_MS, QUIET_MS, WrittenDraft } from '@client/screens/bench/written-draft'
import { unsentOf } from '@client/store/unsent-drafts'

/** A workshop with one draft; a version is the count of its writings. */
class Workshop {
  text = 'id: tiny\n'
  version = 1
  pictures: { name: string; bytes: number }[] = []
  hasLine = true
  losesAnswers = false
  /** Called while a writing is on its way. */
  meanwhile: () => void = () => undefined

  async send(path: string, asked: { method?: string; json?: unknown; headers?: object }): Promise<never> {
    return (await this.answer(path, asked)) as never
  }

  private async answer(path: string, { method = 'GET', json, headers }: Parameters<Workshop['send']>[1]) {
    await Promise.resolve()
    if (!this.hasLine) return refused('offline')
    if (path.endsWith('/check')) return { ok: true, value: { state: 'none', states: 0, report: null } }
    if (method === 'GET')
      return {
        ok: true,
        value: { draft: 'tiny', text: this.text, version: String(this.version), pictures: this.pictures },
      }
    this.meanwhile()
    if (JSON.stringify(headers) !== JSON.stringify({ 'If-Match': `"${this.version}"` }))
      return refused('draft-changed')
    this.text = (json as { text: string }).text
    this.version += 1
    return this.losesAnswers ? refused('offline') : { ok: true, value: { version: String(this.version) } }
  }
}

const refused = (code: string) => ({ ok: false, trouble: { code, message: code, hint: '' } })

let workshop: Workshop

async function opened(): Promise<WrittenDraft> {
  const draft = new WrittenDraft(workshop, 'tiny', () => undefined)
  await draft.read()
  return draft
}

beforeEach(() => {
  workshop = new Workshop()
  const held = new Map<string, string>()
  vi.stubGlobal('localStorage', {
    getItem: (key: string) => held.get(key) ?? null,
    setItem: (key: string, value: string) => void held.set(key, value),
    removeItem: (key: string) => void held.delete(key),
  })
  vi.useFakeTimers()
  return () => vi.useRealTimers()
})

it('writes what was typed once nothing is typed for a while', async () => {
  const draft = await opened()
  draft.write('a: 1\n')
  await vi.advanceTimersByTimeAsync(QUIET_MS - 1)
  expect(workshop.text).toBe('id: tiny\n')
  await vi.advanceTimersByTimeAsync(1)
  expect(workshop.text).toBe('a: 1\n')
  expect(draft.now!.isKept).toBe(true)
  expect(unsentOf('tiny')).toBeNull()
})

it('goes on with what was typed the moment before a tab was closed', async () => {
  const closed = await opened()
  closed.write('a: 1\n') // and no timer ever comes
  const again = await opened()
  expect(again.now!.text).toBe('a: 1\n')
  expect(workshop.text).toBe('a: 1\n')
  expect(unsentOf('tiny')).toBeNull()
})

it('writes over nobody what a closed tab had typed: both stand there', async () => {
  const closed = await opened()
  closed.write('mine: 1\n')
  workshop.text = 'theirs: 1\n'
  workshop.version += 1
  const again = await opened()
  expect(again.now).toMatchObject({ text: 'mine: 1\n', isKept: false, trouble: { code: 'draft-changed' } })
  expect(workshop.text).toBe('theirs: 1\n')
  again.giveUp()
  expect((await opened()).now).toMatchObject({ text: 'theirs: 1\n', isKept: true, trouble: null })
})

it('tries again by itself while there is no line', async () => {
  const draft = await opened()
  workshop.hasLine = false
  draft.write('a: 1\n')
  await vi.advanceTimersByTimeAsync(QUIET_MS)
  expect(draft.now).toMatchObject({ isKept: false, trouble: { code: 'offline' } })
  workshop.hasLine = true
  await vi.advanceTimersByTimeAsync(AGAIN_MS)
  expect(workshop.text).toBe('a: 1\n')
  expect(draft.now!.isKept).toBe(true)
})

it('knows its own writing again when the answer to it was lost', async () => {
  const draft = await opened()
  workshop.losesAnswers = true
  draft.write('a: 1\n')
  await vi.advanceTimersByTimeAsync(QUIET_MS)
  workshop.losesAnswers = false
  draft.write('a: 2\n')
  await vi.advanceTimersByTimeAsync(QUIET_MS)
  expect(workshop.text).toBe('a: 2\n')
  expect(draft.now).toMatchObject({ isKept: true, trouble: null })
})

it('is not refused for what is typed, or a picture that comes, while a writing is on its way', async () => {
  const draft = await opened()
  workshop.meanwhile = () => {
    workshop.meanwhile = () => undefined
    draft.write('a: 2\n')
    void vi.advanceTimersByTime(QUIET_MS)
    workshop.version += 1
    workshop.pictures = [{ name: 'notch.jpg', bytes: 3 }]
  }
  draft.write('a: 1\n')
  await vi.advanceTimersByTimeAsync(QUIET_MS)
  expect(workshop.text).toBe('a: 2\n')
  expect(draft.now).toMatchObject({ isKept: true, trouble: null, pictures: workshop.pictures })
})

it('takes what lies beside a draft along to another name, and is done with this one', async () => {
  const draft = await opened()
  workshop.text = 'theirs: 1\n'
  workshop.version += 1
  draft.write('mine: 1\n')
  await vi.advanceTimersByTimeAsync(QUIET_MS)
  expect(draft.now).toMatchObject({ isKept: false, trouble: { code: 'draft-changed' } })
  const sent = vi.spyOn(workshop, 'send').mockResolvedValue({ ok: true, value: { version: '1' } } as never)
  expect(await draft.keepAs('mine')).toBe(true)
  expect(sent).toHaveBeenCalledWith('/api/drafts/mine', {
    method: 'PUT',
    json: { text: 'mine: 1\n', beside: 'tiny' },
    headers: { 'If-None-Match': '*' },
  })
  expect(unsentOf('tiny')).toBeNull()
})
