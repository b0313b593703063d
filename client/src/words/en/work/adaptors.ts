/** What `work/adaptors.ts` says. */

export const lengths = '{adaptor_mm} mm at {angle_deg}°, hand at {wrench_mm} mm'
