/**
 * When two spellings name one lot, or one tool: what is compared is a key. The twin of
 * `server/twoturns/trade/spelling.py`, which says the rule, why the two keys differ, and what it does not cover.
 */

const plain = (text: string): string => text.normalize('NFKC').toLowerCase().toUpperCase().normalize('NFKC')

/** A lot as it is compared: letters and figures alone. Rather one lot too many is looked at than a recalled one passes by. */
export const lotKey = (lot: string): string => plain(lot).replace(/[^\p{L}\p{N}]/gu, '') || lot

/** A tool's number as it is compared: a point or a stroke stays, for one tool must not measure on another's check. */
export const toolKey = (tool: string): string =>
  plain(tool).replace(/[\p{Z}\p{Cc}\p{Cf}\p{Pd}\p{Pc}\p{M}\u2212\u2053]/gu, '') || tool
