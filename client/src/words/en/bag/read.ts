/**
 * What `bag/read` says, here and on the server.
 * Written by `python -m twoturns.words.phone`: change the server's catalogue, not this.
 */

export const askAgain = 'Ask for the bag again, from who made it.'
export const notAZip = 'this is no whole zip file: {error}'
export const unexpectedFile = 'this file is no part of a bag'
export const cannotUnpack = 'it cannot be unpacked: {error}'
export const severalFolders = 'it holds {tops} folders side by side, a bag is one'
export const besideFolder = "{filename} lies beside the bag's folder"
export const twiceInZip = '{name} is in it twice'
export const unsafeName = '{name} is no safe name'
export const linkOrDevice = '{name} is a link or a device'
export const encrypted = '{name} is encrypted'
export const unpacksTooFar = '{name} would unpack to {fileSize} bytes from {compressSize}'
export const strayBytes = 'it holds bytes that belong to none of its files'
export const notLookedInto = 'It was not looked into. {again}'
export const fileMissing = 'the bag does not hold this file'
export const notBagit = 'it does not declare BagIt 1.0'
export const malformedManifest = 'its lines are not in the one form a manifest has'
export const fileUnlisted = '{manifest} does not list this file'
export const listedFileMissing = '{manifest} lists this file, the bag does not hold it'
export const hashDiffers = 'its hash is {found}, {manifest} says {listed}'
export const changedAfterwards =
  '{name} or its line in {manifest} was changed after the bag was made. {again}'
export const noList = 'its list of files cannot be read'
export const otherChecksum = 'its length or its checksum is another'
export const otherHeader = 'its own header is not that of the list'
export const otherMethod = 'it is packed by method {method}, and this page knows 0 and 8 alone'
