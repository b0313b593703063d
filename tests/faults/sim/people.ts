/** What people do with their phones: acts drawn by chance, each told with what came of it. */
import type { Body } from '@client/ledger/bodies'
import { uuid7 } from '@client/ledger/uuid'
import type { Bundle, Proof } from '@client/procedure/bundle'
import { NotKept, type JobRow, type Writing } from '@client/store'
import { Died, type SimWindow } from './phone'
import type { Oracle } from './oracle'
import type { World } from './world'

export class People {
  constructor(
    private readonly world: World,
    private readonly oracle: Oracle,
    private readonly photoBytes = () =>
      world.chance.is(0.006) ? world.chance.whole(2_100_000, 2_600_000) : world.chance.whole(500, 9_000),
  ) {}

  /** A job from its opening to its end, by the book, with so many photos more than the steps ask for. */
  async wholeJob(window: SimWindow, photos: number): Promise<void> {
    const offered = (await window.alive(window.store.bundles())).find((row) => row.offered)
    const bundle = offered && (await window.alive(window.store.bundle(offered.bundle)))
    if (!bundle) throw new Error('no procedure is on this phone')
    const job = await this.#open(window, offered.bundle)
    const done = new Set<string>()
    for (;;) {
      const { open } = await window.job(job, offered.bundle)
      const id = open.find((each) => !done.has(each))
      if (id === undefined) break
      done.add(id)
      await this.#do(window, job, bundle, id)
    }
    for (let n = 0; n < photos; n++) await this.#photo(window, job)
    await this.#note(window, job)
    await this.#write(
      window,
      job,
      'close the job',
      async (writing) => void (await writing.entry('job.closed', { end: 'finished' })),
    )
  }

  async openJob(window: SimWindow): Promise<void> {
    const [offered] = await window.alive(window.store.bundles())
    if (offered) await this.#open(window, offered.bundle)
  }

  async noteOnAny(window: SimWindow): Promise<void> {
    const jobs = await window.alive(window.store.jobs())
    if (jobs.length) await this.#note(window, this.world.chance.of(jobs).job)
  }

  async act(window: SimWindow): Promise<void> {
    const { role } = window.phone
    const jobs = (await window.alive(window.store.jobs())).filter(({ end }) => end === null)
    if (role === 'mechanic') return this.#work(window, jobs)
    const job = jobs.length ? this.world.chance.of(jobs) : null
    if (!job) return void window.sync.now()
    return role === 'owner' ? this.#review(window, job) : this.#note(window, job.job)
  }

  async #work(window: SimWindow, jobs: JobRow[]): Promise<void> {
    const { chance } = this.world
    const bundles = await window.alive(window.store.bundles())
    const offered = bundles.find((row) => row.offered)
    if (!jobs.length || (jobs.length < 3 && chance.is(0.1))) {
      if (offered) return void (await this.#open(window, offered.bundle))
      return void window.sync.now()
    }
    const job = chance.of(jobs)
    const bundle = await window.alive(window.store.bundle(job.bundle))
    switch (
      chance.weighed({
        step: 10,
        begin: 2,
        photo: 3,
        note: 2,
        take: 1,
        fail: 1,
        sync: 4,
        intent: 1,
        batch: 0.3,
      })
    ) {
      case 'step':
        if (bundle) return this.#step(window, job, bundle)
        break
      case 'begin':
        return void (await this.#write(
          window,
          job.job,
          'begin',
          async (writing) => void (await writing.entry('step.begun', { step: 'belt_off' })),
        ))
      case 'photo':
        return this.#photo(window, job.job)
      case 'note':
        return this.#note(window, job.job)
      case 'take':
        return void (await this.#write(
          window,
          job.job,
          'take over',
          async (writing) => void (await writing.entry('job.taken', {})),
        ))
      case 'fail':
        return void (await this.#write(
          window,
          job.job,
          'nut seized',
          async (writing) =>
            void (await writing.entry('step.failed', { step: 'belt_off', failure: 'nut_seized', proof: [] })),
        ))
      case 'intent':
        return this.#intend(window, job.job)
      case 'batch':
        return void (await this.#write(window, job.job, 'sixty acts at once', async (writing) => {
          for (let n = 0; n < 60; n++) await writing.entry('tool.out', { tool: 'l1' })
        }))
      case 'sync':
        void window.sync.now()
    }
  }

  /** An open step, or any: people do what they like. */
  async #step(window: SimWindow, { job }: JobRow, bundle: Bundle): Promise<void> {
    const { open } = await window.job(job, await this.#bundleOf(window, job))
    const id =
      open.length && this.world.chance.is(0.9)
        ? this.world.chance.of(open)
        : this.world.chance.of(bundle.steps).id
    return this.#do(window, job, bundle, id)
  }

  async #do(window: SimWindow, job: string, bundle: Bundle, id: string): Promise<void> {
    const step = bundle.steps.find((each) => each.id === id)
    if (!step) return
    const inOne = this.world.chance.is(0.5)
    const proof: string[] = []
    const prove = async (writing: Writing, of: Proof) => {
      const entry = await this.#prove(writing, id, of)
      if (entry) proof.push(entry)
    }
    if (!inOne) {
      for (const of of step.proof)
        if (!(await this.#write(window, job, `${id}: ${of.name}`, (writing) => prove(writing, of)))) return
    }
    await this.#write(window, job, `${id} done`, async (writing) => {
      if (inOne) for (const of of step.proof) await prove(writing, of)
      await writing.entry('step.done', { step: id, proof })
    })
  }

  async #isAnothers(window: SimWindow, job: string): Promise<boolean> {
    const log = await window.alive(window.store.log(job))
    return log.some(({ mine }) => mine) && log.some(({ mine }) => !mine)
  }

  async #bundleOf(window: SimWindow, job: string): Promise<string> {
    return (await window.alive(window.store.jobs())).find((row) => row.job === job)?.bundle ?? ''
  }

  async #prove(
    writing: Writing,
    step: string,
    { name, kind, low, target, options, unit }: Proof,
  ): Promise<string | null> {
    if (kind === 'photo') return this.#shoot(writing, step, name)
    if (kind === 'signature')
      return writing.entry('note.added', { step, name, text: await writing.secret('signature', 'M0 0L9 9') })
    if (kind === 'confirm') return null
    const value = options ? (options.find(({ ok }) => ok)?.id ?? '') : (low ?? target ?? '1')
    return writing.entry('reading.taken', { step, name, value, unit: unit ?? '' })
  }

  async #shoot(writing: Writing, step: string, name: string): Promise<string> {
    const size = this.photoBytes()
    const bytes = this.world.chance.bytes(size)
    const blob = await writing.photo(new Blob([bytes], { type: 'image/jpeg' }))
    return writing.entry('photo.taken', {
      step,
      name,
      blob,
      size,
      type: 'image/jpeg',
      width: 0,
      height: 0,
      how: 'live',
    })
  }

  async #photo(window: SimWindow, job: string): Promise<void> {
    await this.#write(
      window,
      job,
      'photo',
      async (writing) => void (await this.#shoot(writing, 'belt_on', 'detail')),
    )
  }

  async #open(window: SimWindow, bundle: string): Promise<string> {
    const job = uuid7(this.world.nowMs, this.world.chance.bytes(10))
    await this.#write(window, job, 'open a job', async (writing) => {
      const [vin, plate] = [
        await writing.secret('vin', 'TT000000000000001'),
        await writing.secret('plate', 'WEIR 12'),
      ]
      const said: Body<'job.opened'> = {
        bundle,
        vin,
        plate,
        odometer_km: 181_220,
        engine_code: 'QL-19D4',
        bay: '2',
      }
      await writing.entry('job.opened', said)
    })
    return job
  }

  async #note(window: SimWindow, job: string): Promise<void> {
    await this.#write(
      window,
      job,
      'note',
      async (writing) =>
        void (await writing.entry('note.added', { text: await writing.secret('words', 'oil at the seal') })),
    )
  }

  async #review(window: SimWindow, { job }: JobRow): Promise<void> {
    const what = this.world.chance.weighed({ returned: 2, gap: 1, approved: 1, sync: 6 })
    if (what === 'sync') return void window.sync.now()
    await this.#write(window, job, `review: ${what}`, async (writing) => {
      if (what === 'returned')
        await writing.entry('review.returned', {
          step: 'belt_on',
          question: await writing.secret('words', 'is it the right belt?'),
        })
      if (what === 'gap')
        await writing.entry('review.gap', {
          step: 'belt_on',
          because: await writing.secret('words', 'the camera was broken'),
        })
      if (what === 'approved') await writing.entry('review.approved', {})
    })
  }

  async #intend(window: SimWindow, job: string): Promise<void> {
    const intent = { job, step: 'belt_on', name: 'whole_drive' }
    try {
      await window.alive(window.store.setIntent(intent))
      this.oracle.intended(window, intent)
    } catch (error) {
      if (!(error instanceof NotKept)) throw error
    }
  }

  /** One act; true when the screen showed it as kept. */
  async #write(
    window: SimWindow,
    job: string,
    what: string,
    build: (writing: Writing) => Promise<void>,
  ): Promise<boolean> {
    const { name } = window.phone
    this.world.tell(name, 'invoke', what)
    const ids: string[] = []
    const noting = (writing: Writing): Writing => ({
      entry: async (kind, body) => {
        const id = await writing.entry(kind, body)
        ids.push(id)
        return id
      },
      secret: (field, value) => writing.secret(field, value),
      photo: (bytes) => writing.photo(bytes),
    })
    try {
      const entries = await window.alive(window.store.write(job, (writing) => build(noting(writing))))
      this.world.tell(
        name,
        'ok',
        `${what}: kept as ${entries.map(({ seq, id }) => `${seq} ${id.slice(0, 8)}`).join(', ')}`,
      )
      this.oracle.shownKept(window, entries)
      if (await this.#isAnothers(window, job)) this.world.note('two devices on one job')
      return true
    } catch (error) {
      if (error instanceof Died) this.world.tell(name, 'info', `${what}: nobody knows`)
      if (!(error instanceof NotKept)) throw error
      this.world.tell(name, 'fail', `${what}: ${error.trouble.message}`)
      this.oracle.shownNotKept(window, error.trouble.code, ids)
      return false
    }
  }
}
