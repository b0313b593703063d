/** What `work/enquiry-words.ts` says. */

export const answers = {
  yes: 'Yes',
  no: 'No',
  unknown: 'Nobody knows',
  timing: 'The timing belt',
  auxiliary: 'The auxiliary belt',
  workshop: 'In the workshop',
  home: 'At home, in a yard',
  car_park: 'In a car park',
  road_side: 'At the side of a road',
  fast_road: 'At a fast road, on a hard shoulder',
} as const
export const asks = {
  runs: 'Does the engine run?',
  stopped: 'Did it stop while it ran?',
  cranked: 'Was it cranked since?',
  belt: 'Which belt is it about?',
  hybrid: 'Is it a hybrid?',
  stands: 'Where does it stand?',
} as const
export const trafficPasses = 'Traffic passes close by'
export const slopeOrSoft = 'A slope, or soft ground'
export const noLight = 'No light'
export const normalUse = 'Normal use'
export const hardUse = 'Towing, dust or short trips'
export const threeQuarters = 'three quarters of the interval'
export const veryHardUse = 'Much of that, a taxi'
export const half = 'half of the interval'
