/**
 * What a job is called on a sticker or a tag: short enough to be read out and typed. Pure. The twin of
 * `server/twoturns/trade/job_code.py`.
 */

/** The last eight hex digits of the job's id (RFC 9562, section 5.7: random ones), in two groups. */
export const jobCode = (job: string): string => {
  const digits = job.replaceAll('-', '').slice(-8)
  return `${digits.slice(0, 4)}-${digits.slice(4)}`
}
