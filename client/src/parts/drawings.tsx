/**
 * Drawings of what a step is about where the drive shows nothing of it: our own drawings, in the drive's hand. Ink is what
 * is there, act is where to look or what to do now; none says what is proven, and none warns: that is a sign's part.
 *
 * What goes off and on again has one drawing for both, so no arrow says which.
 *
 * A drawing is a list of strokes on 120 x 100: a letter for how it is drawn, then a path, or `@x y r` for a circle.
 */
import type { SVGAttributes } from 'preact'

const HOW: Record<string, SVGAttributes<SVGPathElement>> = {
  /** Of the thing: its body, its lines, what is solid, what is behind or comes off. */
  p: { fill: 'var(--plate)', stroke: 'var(--ink)' },
  g: { fill: 'var(--ground)', stroke: 'var(--ink)' },
  i: { fill: 'none', stroke: 'var(--ink)' },
  k: { fill: 'var(--ink)' },
  d: { fill: 'none', stroke: 'var(--line)', 'stroke-dasharray': '4 3' },
  /** Of the act: a line, and what is solid. */
  a: { fill: 'none', stroke: 'var(--act)', class: 'drawn-act' },
  b: { fill: 'var(--act)' },
}

const VAN = 'pM24 58V30H68L86 42 98 46V58Z|gM70 34V43H84L68 34Z|iM24 46H52M58 34V58|g@38 60 7|g@82 60 7'
const BATTERY = 'pM14 46H92V92H14Z|iM23 60H37M69 60H83M76 53V67|kM22 37H38V46H22ZM68 37H84V46H68Z'
const FAN = '@60 50 20|k@60 50 4'

const DRAWINGS = {
  papers:
    'pM12 8H58V92H12Z|iM20 22H50M20 34H50M20 46H42M20 58H50|gM48 56H112V84H48Z|kM54 64h6v12h-6zM64 64h6v12h-6zM76 64h6v12h-6zM86 64h6v12h-6zM96 64h6v12h-6z|aM66 20Q92 16 92 44M84 37 92 46 100 37',
  kit: 'pM8 40H64V92H8Z|iM8 40 20 26H76L64 40M76 26V78L64 92M24 60H48M24 72H48|g@94 34 15|i@94 34 9|k@94 34 3|aM82 94Q70 76 86 70T108 62Q118 84 100 92 90 98 82 94Z',
  tools:
    'kM6 22a10 10 0 0 1 19-5H74l3-4H112l3 4v10l-3 4H77l-3-4H25A10 10 0 0 1 6 22ZM20 46H32V56L28 60V82L26 88 24 82V60L20 56ZM44 46H56V56L52 60V82L50 88 48 82V60L44 56Z|kM72 46H79V78H110V85H72Z|aM8 94H112',
  chocks: 'p@60 44 34|g@60 44 20|k@60 44 4|iM4 79H116|bM6 78 36 78 34 56ZM114 78 84 78 86 56Z',
  battery: `${BATTERY}|iM76 37C76 14 96 10 112 12|bM22 37H38V46H22Z|aM30 37C30 16 16 6 4 4`,
  cap: 'pM34 96V72H86V96|pM24 54H96V72H24Z|iM34 54V72M44 54V72M54 54V72M66 54V72M76 54V72M86 54V72|aM92 40A34 18 0 1 0 30 38M20 34 30 44 38 32',
  temperature:
    'pM52 12a8 8 0 0 1 16 0V60a17 17 0 1 1-16 0Z|k@60 75 11|kM57 44H63V70H57Z|iM74 20H82M74 32H82M74 44H82|aM100 14V52M92 43 100 54 108 43',
  lift: `${VAN}|iM6 96V6M114 96V6M2 96H118|aM6 74H34V66M114 74H86V66|bM28 62H40V67H28ZM80 62H92V67H80Z`,
  stands: `${VAN}|iM2 96H118|aM28 96 38 72 48 96M72 96 82 72 92 96M33 84H43M77 84H87|bM32 66H44V72H32ZM76 66H88V72H76Z`,
  wheel:
    'p@60 50 44|g@60 50 27|i@60 50 6|aM60 31 71 65 43 44 77 44 49 65Z|b@60 31 5|b@71 65 5|b@43 44 5|b@77 44 5|b@49 65 5',
  look: `pM6 50Q60 -8 114 50 60 108 6 50Z|g${FAN}|aM60 4V-4M20 18 14 12M100 18 106 12`,
  drain:
    'pM18 6H102V50H18Z|iM30 6V50M42 6V50M54 6V50M66 6V50M78 6V50M90 6V50|kM54 50H66V58H54Z|aM60 62V76M53 70 60 79 67 70|pM16 82H104L96 96H24Z',
  coolant:
    'pM6 26H34V86H6Z|iM13 26V86M20 26V86M27 26V86|pM64 34H112V92H64Z|i@76 48 5|i@88 48 5|i@100 48 5|g@74 74 9|k@74 74 3|aM34 34H52V14H80V34M72 25 80 35 88 25M65 76H46V78H34M43 70 34 78 43 86|gM16 26V12H26V26Z',
  ribbed_belt:
    'p@28 64 20|p@88 74 14|p@86 24 13|g@56 30 11|iM28 44 50 20Q56 16 62 20L86 11A13 13 0 0 1 99 24L102 74A14 14 0 0 1 88 88L28 84A20 20 0 0 1 28 44Z|aM56 30 58 58|b@58 60 6',
  mount:
    'dM4 2V98|pM4 8H22V58H4Z|pM22 20H62V12H78V44H62V36H22Z|b@32 28 4|b@50 28 4|b@70 20 4|b@70 36 4|pM56 44H114V78H56Z|iM66 54H104M66 64H104|kM68 78H98V84H68Z|aM83 84V98M64 98H102M75 92 83 84 91 92',
  covers:
    'pM34 4H92V46H34Z|pM30 56H96V98H30Z|iM44 14H82M44 24H82M42 68H84M42 80H84|bM26 22H34V32H26ZM92 22H100V32H92ZM22 72H30V82H22ZM96 72H104V82H96Z',
  damper: 'p@52 50 44|d@52 50 35|p@52 50 31|g@52 50 18|b@52 50 9|aM20 8 26 16M10 20 18 25',
  pressure:
    'p@38 34 28|iM38 34 54 20|k@38 34 4|iM18 46 22 43M14 34H19M18 22 22 25M38 10V15|pM32 62H44V84H32Z|aM44 74H92V56|pM80 30H104V56H80Z|kM76 22H108V30H76Z',
  listen:
    'pM6 40H58V88H6Z|iM14 52H50M14 64H50M14 76H50M20 40V30H44V40|aM70 52Q78 64 70 76M82 44Q96 64 82 84M94 36Q114 64 94 92',
  codes:
    'pM54 8H112V88H54Z|gM62 16H104V50H62Z|iM68 26H88M68 38H96|k@72 68 6|k@94 68 6|aM54 72H34V44|bM14 20H44V44H14Z',
  road: 'pM4 96 46 30H74L116 96Z|gM58 34H62L63 46H57ZM56 54H64L65 72H55ZM54 80H66L68 96H52Z|aM60 22V4M52 12 60 2 68 12',
  sticker:
    'pM8 18H112V82H8Z|iM20 32H70M20 66H60|aM20 48H64V56H20Z|gM84 38h18v30H84z|iM84 48H102M93 38V68|b@14 24 2|b@106 24 2',
  key: 'p@34 50 26|g@34 50 11|kM58 44H112V56H104V66H94V56H86V64H78V56H58Z|aM10 94H110M102 86 111 94 102 102',
  cylinder:
    'pM30 4H90V20H30Z|iM36 20V92M84 20V92|pM38 44H82V68H38Z|iM60 68V96M38 51H82M38 58H82|kM56 20H64V28H56Z|aM60 4V-4H104V26|g@104 38 13|iM104 38 110 30',
  spark_plug:
    'pM50 4H70V30H50Z|iM50 12H70M50 20H70|pM42 30H78V46H42Z|pM50 46H70V74H50Z|iM50 53H70M50 60H70M50 67H70M60 74V82M52 74V90H64|aM42 30H78V46H42Z',
  telephone:
    'pM40 4H80V96H40Z|gM46 14H74V80H46Z|k@60 88 4|aM90 34Q100 50 90 66M100 24Q116 50 100 76M30 34Q20 50 30 66M20 24Q4 50 20 76',
  cones:
    'pM16 62V26H56L74 38V62Z|g@28 64 7|g@62 64 7|bM86 70 92 44H98L104 70ZM82 70H108V76H82Z|aM84 60H106|iM2 94H118|dM2 84H118',
  high_voltage: `pM10 34H64V78H10Z|iM20 34V78M30 34V78M44 34V78M54 34V78|aM64 56H84V30H108|bM104 20H116V40H104Z|kM92 52 80 74H90L84 94 104 66H94L102 52Z`,
  meter: `${BATTERY}|pM36 2H108V30H36Z|gM44 7H78V24H44Z|k@92 16 6|aM44 30 30 37M96 30 76 37`,
  bag: 'pM24 30H96L104 96H16Z|iM42 30V18A18 14 0 0 1 78 18V30|aM40 84Q32 62 48 56T78 50Q92 72 74 82 54 92 40 84Z|iM30 40H90',
  tag: 'i@60 46 42|i@60 46 34|p@60 46 11|iM26 46H49M71 46H94M60 57V80|bM48 64H72L76 72V98H44V72Z|g@60 72 3|iM60 72 60 80',
  belt: 'p@60 26 22|p@60 78 13|k@60 26 3|k@60 78 3|dM36 26 46 80M84 26 74 80|aM12 16Q2 40 16 54T14 92M24 12Q14 40 28 54T26 96|aM18 30H28M18 72H28',
} satisfies Record<string, string>

/** What can be drawn; `procedure/language/vocabulary.py` lets a source name no other. */
export const DRAWING_NAMES = Object.keys(DRAWINGS)

/** A name that a newer app draws shows nothing: the words say it all. */
export const strokesOf = (name: string): string[] =>
  Object.hasOwn(DRAWINGS, name) ? DRAWINGS[name as keyof typeof DRAWINGS].split('|') : []

function Stroke({ said }: { said: string }) {
  const how = HOW[said[0]!]
  if (said[1] !== '@') return <path d={said.slice(1)} {...how} />
  const [x, y, r] = said.slice(2).split(' ').map(Number)
  return <path d={`M${x! - r!} ${y}a${r} ${r} 0 1 0 ${2 * r!} 0a${r} ${r} 0 1 0 ${-2 * r!} 0Z`} {...how} />
}

/** It stands beside the words of its step, which say the same. */
export function Drawn({ name }: { name: string }) {
  return (
    <svg class="drawn" viewBox="-2 -8 124 110" aria-hidden="true">
      {strokesOf(name).map((said) => (
        <Stroke said={said} />
      ))}
    </svg>
  )
}
