/** What `work/adaptors.ts` says. */

export const mmAtHandAtMm = '{adaptor_mm} mm at {angle_deg}°, hand at {wrench_mm} mm'
