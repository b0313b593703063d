/** The first letter of words that begin a sentence, or go on in one. */

export const capital = (words: string): string => words.charAt(0).toUpperCase() + words.slice(1)
export const lower = (words: string): string => words.charAt(0).toLowerCase() + words.slice(1)
