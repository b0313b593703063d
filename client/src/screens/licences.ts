/** A page of its own beside the app, made by the build (`client/notices.ts`). */
export const LICENCES = '/licences.html'
