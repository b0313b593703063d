import { describe, expect, test } from 'vitest'
import type { VNode } from 'preact'
import { Drive, driveState } from '@client/parts/drive'
import type { DriveBlock } from '@client/procedure/bundle'
import vector from '../vectors/drive.json'

const drive = vector.drive as unknown as DriveBlock
const drawn = (props: Partial<Parameters<typeof Drive>[0]>) =>
  (Drive({ drive, state: { belt: 'new' }, ...props }) as VNode<Record<string, unknown>>).props

describe('the drive', () => {
  test('is one picture with its state in words', () => {
    const props = drawn({
      state: { belt: 'off', pins: { crank: true, cam: null } },
      look: ['l1'],
      tags: { l1: 'L1', l2: 'L2' },
    })
    expect(props['role']).toBe('img')
    expect(props['aria-label']).toBe(
      'The drive, seen from the belt end. The belt is off. Pin L1 is in. Pin L3 is out. Pin L2 may be in or out. Look at pin L1.',
    )
  })

  test('fills the box it is given', () => {
    expect(drawn({ width: 180, height: 260 })).toMatchObject({
      width: 180,
      height: 260,
      viewBox: '0 0 180 260',
    })
  })

  test('follows the conditions: a pin is in, a roller is gone, the belt is old', () => {
    expect(
      driveState(drive, { belt: ['old'], ten: ['off'], crank_lock: ['in'], cam_lock: ['in', 'out'] }),
    ).toEqual({
      belt: 'old',
      pins: { crank: true, cam: null, pump: false },
      gone: ['tensioner'],
    })
  })
})
