/** Bytes in words, as the screens say them. */
export const megabytes = (bytes: number): string =>
  bytes < 1_000_000
    ? `${Math.ceil(bytes / 1000)} kB`
    : `${(bytes / 1_000_000).toFixed(bytes < 10_000_000 ? 1 : 0)} MB`
