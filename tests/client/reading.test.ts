/** What an effect reads is told once, and never after the screen asked anew or went. Common practice, no source. */
import { signal } from '@preact/signals'
import { describe, expect, it, vi } from 'vitest'
import { following, reading } from '../../client/src/screens/reading'

const later = <T>() => {
  let answer: (value: T) => void = () => undefined
  const promise = new Promise<T>((done) => {
    answer = done
  })
  return { promise, answer }
}
const settled = () => new Promise<void>((done) => setTimeout(done))

describe('reading', () => {
  it('tells what was read', async () => {
    const told: string[] = []
    reading(Promise.resolve('the jobs'), (found) => told.push(found))
    await settled()
    expect(told).toEqual(['the jobs'])
  })

  it('tells nothing to a screen that has gone', async () => {
    const told: string[] = []
    reading(Promise.resolve('the jobs'), (found) => told.push(found))()
    await settled()
    expect(told).toEqual([])
  })

  it('does not tell the cautions of one procedure over those of the one that was chosen after it', async () => {
    const told: string[] = []
    const [first, second] = [later<string>(), later<string>()]
    const letGo = reading(first.promise, (found) => told.push(found))
    letGo() // as an effect does whose dependencies changed
    reading(second.promise, (found) => told.push(found))
    second.answer('cautions of the second')
    await settled()
    first.answer('cautions of the first')
    await settled()
    expect(told).toEqual(['cautions of the second'])
  })
})

describe('following', () => {
  it('tells a change at once, many as few, and never leaves out the last', () => {
    vi.useFakeTimers()
    const [changed, told] = [signal(0), [] as number[]]
    const end = following(changed, (now) => told.push(now))
    expect(told).toEqual([])
    for (let n = 1; n <= 100; n++) {
      changed.value = n
      vi.advanceTimersByTime(20)
    }
    expect(told[0]).toBe(1)
    expect(told.length).toBeLessThanOrEqual(5)
    vi.advanceTimersByTime(1_000)
    expect(told.at(-1)).toBe(100)
    changed.value = 101
    expect(told.at(-1)).toBe(101)
    changed.value = 102
    end()
    vi.advanceTimersByTime(1_000)
    expect(told.at(-1)).toBe(101)
    vi.useRealTimers()
  })
})
