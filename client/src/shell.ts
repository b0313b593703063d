/** The words around the app, in its page and its manifest: the build, which wants the endings, writes them into both. */
import * as words from './words/en/shell.ts'
import { t } from './words/message.ts'

export const shell = {
  name: t(words.name),
  whatItIs: t(words.whatItIs),
  needsScript: t(words.needsScript),
}
