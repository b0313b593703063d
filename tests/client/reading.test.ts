/** What an effect reads is told once, and never after the screen asked anew or went. Common practice, no source. */
import { describe, expect, it } from 'vitest'
import { reading } from '../../client/src/screens/reading'

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
