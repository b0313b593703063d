/** What is only read: which step leads to the work, which torques a job has. */
import { expect, it } from 'vitest'
import { shownIn } from '@client/screens/bay/address'
import { jobNow } from '@client/work/job'
import { isWorkable, torquesOf } from '@client/work/look-up'
import { bundle, Log, ME, row, stepOf, upToTurn } from './baywork'

it('leads to the work only where there is some: what is done, and what is not yet its turn, is read', () => {
  const log = new Log()
  log.done('pin_in')
  const now = log.now()
  expect(now.current?.step.id).toBe('slacken')
  const workable = now.steps.filter((step) => isWorkable(step, now)).map(({ step }) => step.id)
  expect(workable).toContain('slacken')
  expect(workable).not.toContain('pin_in')
  expect(workable).not.toContain('turn')
})

it('leads nowhere to the work once the job is closed', () => {
  const now = new Log().now()
  const closed = { ...now, row: { ...now.row, end: 'stopped' } }
  expect(now.steps.some((step) => isWorkable(step, now))).toBe(true)
  expect(closed.steps.some((step) => isWorkable(step, closed))).toBe(false)
})

it('offers no way back once the job is closed, and shows its steps to be read', () => {
  const log = upToTurn()
  const [now, closed] = [null, 'stopped'].map((end) => jobNow({ ...row, end }, bundle, log.held, ME, []))
  expect(now?.undo.map(({ step }) => step.step.id)).toContain('nut_to_hand')
  expect(closed?.undo).toEqual([])
  const shown = ['step', 'reopen', 'order', 'question']
  expect(shown.map((screen) => shownIn(screen, false))).toEqual(shown)
  expect(shown.map((screen) => shownIn(screen, true))).toEqual(['read', 'read', 'order', 'question'])
})

it('says of each torque what it is and how much of it has clicked', () => {
  const log = new Log()
  const figures = () =>
    torquesOf(log.now().steps).map(({ at, nm, given, asked }) => [at.step.id, nm, given, asked])
  expect(figures()).toEqual([['torque', '26', 0, 1]])
  log.done('pin_in')
  log.done('slacken')
  log.done('set')
  log.torque()
  expect(figures()).toEqual([['torque', '26', 1, 1]])
  const done = upToTurn()
  expect(stepOf(done.now(), 'torque').seal).toBe('holds')
  expect(torquesOf(done.now().steps).map(({ given }) => given)).toEqual([1])
})
