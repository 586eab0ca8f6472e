// A picture as a phone's camera gives it, made small and drawn anew, so that nothing but the picture stays: no place, no time.

const LONGEST_SIDE = 1600;
const LONGEST_SIDE_SMALL = 480;
const LARGEST_FILE = 30e6;
const QUALITY = 0.82;

/** Why a file was not taken: `why` is 'too large' or 'no picture', `bytes` how large it is. */
export class PictureFault extends Error {
  constructor(why, bytes) {
    super(why);
    Object.assign(this, { why, bytes });
  }
}

/** Read a picture file: {bytes, small}, both JPEG as ArrayBuffer, of at most 1,600 and 480 px a side; rejects with PictureFault. */
export async function readPicture(file) {
  if (file.size > LARGEST_FILE) throw new PictureFault('too large', file.size);
  const bitmap = await createImageBitmap(file).catch(() => { throw new PictureFault('no picture', file.size); });
  try {
    return { bytes: await drawn(bitmap, LONGEST_SIDE), small: await drawn(bitmap, LONGEST_SIDE_SMALL) };
  } catch {
    throw new PictureFault('no picture', file.size);
  } finally {
    bitmap.close();
  }
}

/** The bytes of a JPEG as something to draw; rejects where they are none. */
export const pictureOf = (bytes) => createImageBitmap(new Blob([bytes], { type: 'image/jpeg' }));

async function drawn(bitmap, longestSide) {
  const scale = Math.min(1, longestSide / Math.max(bitmap.width, bitmap.height));
  const canvas = document.createElement('canvas');
  [canvas.width, canvas.height] = [bitmap.width, bitmap.height].map((side) => Math.max(1, Math.round(side * scale)));
  const paper = canvas.getContext('2d');
  paper.fillStyle = '#ffffff';
  paper.fillRect(0, 0, canvas.width, canvas.height);
  paper.drawImage(bitmap, 0, 0, canvas.width, canvas.height);
  const blob = await new Promise((resolve) => { canvas.toBlob(resolve, 'image/jpeg', QUALITY); });
  return blob.arrayBuffer();
}
