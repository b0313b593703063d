/** Where in the papers of a job: the address after `#/paper`. */
export const PAPERS = ['sheet', 'sticker', 'tag', 'coolant', 'invoice'] as const
export type PaperName = (typeof PAPERS)[number]

export interface PaperAt {
  job: string
  paper: PaperName
}

export function paperAt(hash: string): PaperAt {
  const [, , job = '', name] = hash.replace(/^#/, '').split('/').map(decodeURIComponent)
  return { job, paper: PAPERS.find((each) => each === name) ?? 'sheet' }
}

export const paperPath = (job: string, paper: PaperName = 'sheet'): string =>
  `/paper/${encodeURIComponent(job)}/${paper}`
