/** A newer build is offered in whatever order a browser tells of it, and started when it has taken over. */
import { afterEach, beforeEach, expect, test, vi } from 'vitest'
import type { isTakingOver, newBuild, registerWorker, takeOver } from '@client/update'

class FakeWorker extends EventTarget {
  readonly postMessage = vi.fn<(message: string) => void>()

  constructor(public state: ServiceWorkerState) {
    super()
  }

  become(state: ServiceWorkerState): void {
    this.state = state
    this.dispatchEvent(new Event('statechange'))
  }
}

class FakeRegistration extends EventTarget {
  active: FakeWorker | null = null
  waiting: FakeWorker | null = null
  installing: FakeWorker | null = null
  readonly update = async () => undefined

  /** The browser has found another worker. */
  find(): FakeWorker {
    this.installing = new FakeWorker('installing')
    this.dispatchEvent(new Event('updatefound'))
    return this.installing
  }

  installed(): void {
    ;[this.waiting, this.installing] = [this.installing, null]
    this.waiting?.become('installed')
  }

  activated(): void {
    ;[this.active, this.waiting] = [this.waiting, null]
    this.active?.become('activating')
    this.active?.become('activated')
  }
}

let registration: FakeRegistration
let reload: ReturnType<typeof vi.fn>
let update: {
  isTakingOver: typeof isTakingOver
  newBuild: typeof newBuild
  registerWorker: typeof registerWorker
  takeOver: typeof takeOver
}

beforeEach(async () => {
  vi.resetModules()
  registration = new FakeRegistration()
  reload = vi.fn()
  // No controller: what this page was opened from says nothing of what waits.
  vi.stubGlobal('navigator', { serviceWorker: { register: async () => registration, controller: null } })
  vi.stubGlobal('document', Object.assign(new EventTarget(), { visibilityState: 'visible' }))
  vi.stubGlobal('location', { reload })
  update = await import('@client/update')
})

afterEach(() => vi.unstubAllGlobals())

test('the first worker of all is no newer build', async () => {
  registration.find()
  await update.registerWorker()
  registration.installed()
  expect(update.newBuild.value).toBeNull()
  registration.activated()
  expect(update.newBuild.value).toBeNull()
})

test('one that waits when the app is opened is offered, though no worker serves the page', async () => {
  registration.active = new FakeWorker('activated')
  registration.waiting = new FakeWorker('installed')
  await update.registerWorker()
  expect(update.newBuild.value).toBe(registration.waiting)
})

test.each(['before', 'after'])(
  'one that is found %s the app listens is offered when it is whole',
  async (when) => {
    registration.active = new FakeWorker('activated')
    if (when === 'before') registration.find()
    await update.registerWorker()
    if (when === 'after') registration.find()
    expect(update.newBuild.value).toBeNull()
    registration.installed()
    expect(update.newBuild.value).toBe(registration.waiting)
  },
)

test('one that takes over is started once it has, and not before', async () => {
  registration.active = new FakeWorker('activated')
  const newer = registration.find()
  await update.registerWorker()
  registration.installed()
  expect(update.isTakingOver.value).toBe(false)
  update.takeOver()
  expect(update.isTakingOver.value).toBe(true)
  expect(newer.postMessage).toHaveBeenCalledWith('take-over')
  expect(reload).not.toHaveBeenCalled()
  registration.activated()
  expect(reload).toHaveBeenCalledTimes(1)
})

test('one that has taken over by itself is started when it is asked for', async () => {
  registration.active = new FakeWorker('activated')
  registration.waiting = new FakeWorker('installed')
  await update.registerWorker()
  registration.activated() // nothing listened to it: it waited before the app was opened
  update.takeOver()
  expect(reload).toHaveBeenCalledTimes(1)
})

test('one that was to take over and is overtaken by a newer one leaves that to be asked for', async () => {
  registration.active = new FakeWorker('activated')
  registration.waiting = new FakeWorker('installed')
  await update.registerWorker()
  update.takeOver()
  registration.find()
  registration.installed()
  expect([update.newBuild.value, update.isTakingOver.value]).toEqual([registration.waiting, false])
})
