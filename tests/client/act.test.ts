import { expect, it, vi } from 'vitest'
import { onceSeen, seen, stand } from '@client/screens/bay/act'

/** No frame comes by itself: a test says when the screen is painted. */
let paint = () => undefined as void
vi.stubGlobal('requestAnimationFrame', (then: () => void) => (paint = then))

/** A reading of the log that ends when told, and is shown unless a later one was begun: as the job's room has it. */
function readings() {
  const shown: string[] = []
  let newest = ''
  const begin = (name: string) => {
    let end = () => undefined as void
    newest = name
    const read = new Promise<string>((resolve) => (end = () => resolve(name)))
    onceSeen(
      () => read,
      (found) => void (found === newest && shown.push(found)),
    )
    return end
  }
  return { shown, begin }
}

it('shows what was read once the act has been seen, and not before', async () => {
  const { shown, begin } = readings()
  stand()
  begin('the act')()
  await Promise.resolve()
  expect(shown).toEqual([])
  await seen(() => shown.push('next screen'))
  expect(shown).toEqual(['the act', 'next screen'])
})

it('reads nothing before the whole line of the key is painted', async () => {
  const read = vi.fn(async () => 'the act')
  stand()
  onceSeen(read, () => undefined)
  await new Promise((later) => setTimeout(later, 20))
  expect(read).not.toHaveBeenCalled()
  paint()
  await vi.waitFor(() => expect(read).toHaveBeenCalled())
  await seen(null)
})

it('shows the newest reading, also when it was begun while the one before was waited for', async () => {
  const { shown, begin } = readings()
  stand()
  const endAct = begin('the act')
  const over = seen(null)
  const endReceipt = begin('its receipt')
  endAct()
  endReceipt()
  await over
  expect(shown).toEqual(['its receipt'])
})
