/** Where the pictures of a procedure's steps come from: the device, which fetched them with it. */
import type { Bundle } from '../../procedure/bundle'
import type { Store } from '../../store'
import type { ReadPicture } from './step-picture'

export const pictureOf =
  (store: Pick<Store, 'asset'>, { assets }: Pick<Bundle, 'assets'>): ReadPicture =>
  async (asset) => {
    const carried = assets.find(({ name }) => name === asset)
    return carried ? store.asset(carried.blob) : null
  }
