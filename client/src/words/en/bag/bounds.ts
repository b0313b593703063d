/**
 * What `bag/bounds` says, here and on the server.
 * Written by `python -m twoturns.words.phone`: change the server's catalogue, not this.
 */

export const tooManyFiles = 'it holds {files} files, at most {maxFiles} are read'
export const bagTooLarge = 'it would unpack to more than {maxUnpacked} GiB'
export const fileTooLarge = '{name} would unpack to {size} bytes, at most {maxText} are read'
