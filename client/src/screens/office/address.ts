/** Where at the desk or in the audit: the address after `#/desk` or `#/audit`, read. Pure. */

export interface Where {
  page: string
  item: string | null
}

export function whereOf(hash: string, room: string, pages: readonly string[]): Where {
  const [, first, page = '', item = ''] = hash.replace(/^#/, '').split('/').map(decodeURIComponent)
  const known = first === room && pages.includes(page)
  return { page: known ? page : pages[0]!, item: known && item !== '' ? item : null }
}
