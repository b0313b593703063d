/** The small picture of a photo: kept with it, and shown once its bytes are let go of. */

/** Make a small JPEG; null when the picture cannot be read here. */
export type Thumbnail = (picture: Blob) => Promise<ArrayBuffer | null>

const THUMB_PX = 320

/** As the browser draws it: turned as the camera said, scaled while it is decoded. */
export const drawThumbnail: Thumbnail = async (picture) => {
  const small = await createImageBitmap(picture, { resizeWidth: THUMB_PX, resizeQuality: 'medium' }).catch(
    () => null,
  )
  if (!small) return null
  const canvas = new OffscreenCanvas(small.width, small.height)
  canvas.getContext('2d')?.drawImage(small, 0, 0)
  small.close()
  return (await canvas.convertToBlob({ type: 'image/jpeg', quality: 0.7 })).arrayBuffer()
}
