/** What `screens/bay/call.tsx` says. */

export const callCustomer = 'Call the customer'
export const callOwner = 'Call the owner'
export const noNumberYet = 'Call the owner: type the number first'
export const ownersNumber = 'The owner’s telephone, kept on this phone alone'
