/** What `screens/desk/retention.tsx` says. */

export const keptHowLong = 'How long jobs are kept'
export const neverSaid =
  'Nobody has said how long. Say it, and the jobs that are kept longer are listed here.'
export const keptFor =
  'Jobs are kept for {days, plural, one {# day} other {# days}} after something of them was heard last. Those in work or parked are not counted. {n, plural, =0 {None that names a vehicle or a customer is kept longer.} other {These are kept longer and still name a vehicle or a customer. Nothing is erased by itself: open one, and order it erased there if it should be.}}{more, select, true { There are more.} other {}}'
export const lastHeard = '{plate}, last heard of on {day}'
export const noPlate = 'no plate here'
export const more = 'More of them'
export const sayHowLong = 'Say how long'
export const stateIt = 'State it'
export const nothingByItself =
  'Ten years are 3650 days. Ask somebody who knows which law holds for you: evidence about an engine may have to be kept for longer than a name.'
export const daysLabel = 'Days after a job was heard of last'
