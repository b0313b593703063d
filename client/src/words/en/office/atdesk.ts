/** What `screens/office/atdesk.ts` says. */

export const thisPhone = 'this phone'
export const thisDevice = 'this device'
export const thisPhoneFirst = 'This phone'
export const thisDeviceFirst = 'This device'
