/** What the tests in Python call in this room: they hold the drawing of a drive to what the server solved. */
import type { DriveBlock } from '../procedure/bundle'
import type { PeerFunctions } from '../peer'
import { driveShapes } from './drive-shapes'
import { SHRINK, Sheet, type DriveState, type DriveView } from './drive-sheet'
import { slackSpans, slopeMmPerDeg, tightens } from './drive-sides'
import { driveInWords, driveState, stepView } from './drive-words'

/** The belt's pitch line: the whole, the slack side, the tight side. */
function beltLines(drive: DriveBlock, state: DriveState, view: DriveView): [string, string, string] {
  const sheet = new Sheet(drive, state, view, SHRINK[0])
  const { slack, tight } = sheet.sides(0)
  return [sheet.path(0), slack, tight]
}

export const peerFunctions: PeerFunctions = {
  drive_belt_lines: beltLines,
  drive_shapes: driveShapes,
  drive_slack_spans: slackSpans,
  drive_slope: slopeMmPerDeg,
  drive_state: driveState,
  drive_tightens: tightens,
  drive_view: stepView,
  drive_words: driveInWords,
}
