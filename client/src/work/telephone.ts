/** What a telephone dials of what was typed (RFC 3966, section 3: separators may be left out). */
export const dialled = (typed: string): string => typed.replace(/[^\d+*#]/g, '')
