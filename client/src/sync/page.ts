/** Whether the app's page can be had now: from the phone itself where the service worker has it, else from the workshop. */
export const canHavePage = (): Promise<boolean> =>
  fetch('/').then(
    ({ ok }) => ok,
    () => false,
  )
