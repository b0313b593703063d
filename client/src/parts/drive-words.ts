/**
 * What of a bundle's drive is shown: the state that the conditions give it, what a step asks to see, and both in words.
 */
import type { Bundle, DriveBlock, Step } from '../procedure/bundle'
import { pinOf, tagOf, type DriveState, type DriveView } from './drive-sheet'
import { isArm, slackSpans, tensionerOf, tightens } from './drive-sides'
import * as says from '../words/en/parts/drive-words'
import { t } from '../words/message'

/** Where a bolt stands on a wheel, as procedures say it: the way from its middle, degrees anticlockwise from the right. */
const WAYS: Record<string, number> = { right: 0, top: 90, left: 180, bottom: 270 }

/** The state of a drive out of the values each condition may have now. */
export function driveState(
  drive: DriveBlock,
  possible: Readonly<Record<string, readonly string[]>>,
): DriveState {
  const values = (condition: string | undefined) =>
    condition === undefined ? [] : (possible[condition] ?? [])
  const isOff = (condition: string | undefined) => values(condition).join() === 'off'
  const pins: Record<string, boolean | null> = {}
  for (const { id, hole } of drive.wheels) {
    if (!hole) continue
    const now = values(hole.condition)
    pins[id] = now.includes('in') ? (now.length > 1 ? null : true) : false
  }
  const belt = isOff(drive.belt.condition)
    ? 'off'
    : values(drive.belt.condition).includes('old')
      ? 'old'
      : 'new'
  return { belt, pins, gone: drive.wheels.filter((wheel) => isOff(wheel.condition)).map((wheel) => wheel.id) }
}

/** What the drawing shows at a step of a bundle. */
export function stepView(bundle: Bundle, at: number, state: DriveState): Omit<DriveView, 'width' | 'height'> {
  const { drive, tools } = bundle
  const step = bundle.steps[at]!
  const tensioner = drive.wheels[tensionerOf(drive)]!
  const isSetNow = state.belt === 'new' && !step.undo && !isArm(tensioner)
  return {
    look: step.look,
    pluck: step.proof.some(({ unit }) => unit === 'Hz'),
    fitting: laysBelt(bundle, at),
    loupe: isSetNow && step.look[0] === tensioner.id,
    bolts: boltsOf(drive, step),
    tags: Object.fromEntries(tools.flatMap(({ slot, tag }) => (tag === undefined ? [] : [[slot, tag]]))),
  }
}

/** The bolts of a step that the drive can show in their order: one on each wheel it looks at, or all round the only one. */
function boltsOf({ wheels }: DriveBlock, { torque, look }: Step): NonNullable<DriveView['bolts']> {
  const bolts = torque?.sequence ?? []
  const looked = wheels.filter(({ id }) => look.includes(id))
  const named = bolts.flatMap((bolt) => looked.filter(({ id }) => id === bolt))
  if (bolts.length > 1 && named.length === bolts.length)
    return named.map(({ id }) => ({ wheel: id, deg: null }))
  const degs = bolts.flatMap((bolt) => (Object.hasOwn(WAYS, bolt) ? [WAYS[bolt]!] : []))
  const [only, ...others] = looked
  if (!only || others.length > 0 || degs.length < 2 || degs.length < bolts.length) return []
  return spread(degs).map((deg) => ({ wheel: only.id, deg }))
}

/** Bolts stand evenly round a wheel: from the first on each takes what is free nearest to where it is said to be. */
function spread(degs: readonly number[]): number[] {
  const free = degs.map((_, i) => degs[0]! + (360 * i) / degs.length)
  return degs.map((deg) => {
    const off = (at: number) => Math.abs(((at - deg + 540) % 360) - 180)
    const nearest = free.reduce((best, at) => (off(at) < off(best) ? at : best))
    free.splice(free.indexOf(nearest), 1)
    return nearest
  })
}

/** Whether a step needs the belt to be off and leaves it on. */
function laysBelt({ drive, machine }: Bundle, at: number): boolean {
  const { guard, effect } = machine.steps[at]!
  const belt = machine.conditions.findIndex(
    ({ id, values }) => id === drive.belt.condition && values.includes('off'),
  )
  if (belt < 0) return false
  const off = machine.conditions[belt]!.values.indexOf('off')
  return (
    guard.some(([c, mask]) => c === belt && mask === 1 << off) &&
    effect.some(([c, value]) => c === belt && value !== off)
  )
}

const inWords = (names: readonly string[]) =>
  names.length < 2
    ? names.join()
    : t(says.listed, { most: names.slice(0, -1).join(', '), last: names.at(-1)! })

/** The state and what to look at, in sentences: the drawing's name for whoever does not see it. */
export function driveInWords(drive: DriveBlock, state: DriveState, view: DriveView): string {
  const words = [t(says.fromTheBeltEnd), t(says.belt[state.belt])]
  const label = (id: string) => (drive.wheels.find((wheel) => wheel.id === id)?.label ?? id).toLowerCase()
  words.push(...pinWords(drive, state, view))
  if (state.gone?.length)
    words.push(t(says.offTheEngine, { parts: inWords(state.gone.map((id) => the(label(id)))) }))
  const look = (view.look ?? []).flatMap((id) => {
    const wheel = drive.wheels.find((each) => each.id === id)
    const holed = drive.wheels.find((each) => each.hole?.pin === id)
    return wheel ? [the(label(id))] : holed?.hole ? [t(says.pin, { tag: tagOf(holed.hole, view) })] : []
  })
  if (view.fitting) words.push(...fittingWords(drive, label))
  else if (look.length) words.push(t(says.lookAt, { parts: inWords(look) }))
  if (view.pluck) words.push(t(says.pluck, { one: label(drive.span.from), other: label(drive.span.to) }))
  if (view.loupe) {
    const tensioner = label(drive.wheels[tensionerOf(drive)]!.id)
    words.push(t(says.tightens, { tensioner, way: tightens(drive) }))
  }
  return words.join(' ')
}

const the = (label: string) => t(says.the, { label })

/** The pins that are in, those that are out, and those of which that is not known. */
function pinWords(drive: DriveBlock, state: DriveState, view: DriveView): string[] {
  const tagsOf = (pin: boolean | null) =>
    drive.wheels.flatMap(({ id, hole }) => (hole && pinOf(state, id) === pin ? [tagOf(hole, view)] : []))
  return ([true, false, null] as const).flatMap((pin) => {
    const tags = tagsOf(pin)
    const args = { n: tags.length, tags: inWords(tags) }
    if (tags.length === 0) return []
    if (pin === null) return [t(says.pinsMayBeIn, args)]
    return [pin ? t(says.pinsAreIn, args) : t(says.pinsAreOut, args)]
  })
}

/** How the belt goes on: its order, its two sides, the teeth to each mark. */
function fittingWords(drive: DriveBlock, label: (id: string) => string): string[] {
  const names = drive.wheels.map(({ id }) => label(id))
  const slack = slackSpans(drive)
  return [
    t(says.order, { wheels: drive.order.map(label).join(', ') }),
    t(says.slack, {
      first: names[0]!,
      slack: inWords(names.slice(1, slack).map(the)),
      last: names[slack % names.length]!,
    }),
    ...drive.counts.map(({ teeth, from, to }) =>
      t(says.count, { teeth, one: label(from), other: label(to) }),
    ),
  ]
}
