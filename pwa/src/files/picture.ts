/** Shrinks a photo on the phone: long side 1600 px, encoded again, so that position, camera and time are removed. */

import type { Picture } from "../store/photos";

export const LONG_SIDE = 1600;
const QUALITIES = [0.82, 0.7, 0.55, 0.4];
/** The server's limit, bytes. */
export const LARGEST = 2 * 1024 * 1024;

export class PictureUnusable extends Error {
  override name = "PictureUnusable";
}

/** The size to draw at: unchanged, or the long side at the limit. */
export function fitted(width: number, height: number, limit = LONG_SIDE): { width: number; height: number } {
  const scale = Math.min(1, limit / Math.max(width, height));
  return { width: Math.max(1, Math.round(width * scale)), height: Math.max(1, Math.round(height * scale)) };
}

/** Shrinks and encodes again. Throws PictureUnusable if the file is not a picture that this phone can read. */
export async function shrink(file: Blob): Promise<Picture> {
  const image = await decode(file);
  try {
    return await pictureOf(image.source, image);
  } finally {
    image.close();
  }
}

/** The same for something already drawn, such as a camera frame. Throws PictureUnusable. */
export async function pictureOf(
  source: CanvasImageSource,
  { width, height }: { width: number; height: number },
): Promise<Picture> {
  const size = fitted(width, height);
  const canvas = document.createElement("canvas");
  canvas.width = size.width;
  canvas.height = size.height;
  const context = canvas.getContext("2d");
  if (context === null) throw new PictureUnusable("no canvas");
  // Transparent pictures become JPEG, on paper instead of black.
  context.fillStyle = "#fff";
  context.fillRect(0, 0, size.width, size.height);
  context.imageSmoothingQuality = "high";
  context.drawImage(source, 0, 0, size.width, size.height);
  for (const quality of QUALITIES) {
    const blob = await encode(canvas, quality);
    if (blob.size <= LARGEST) return { bytes: await blob.arrayBuffer(), type: blob.type, ...size };
  }
  throw new PictureUnusable("too large");
}

/** The pixels of a saved photo: red, green, blue, opacity, row by row. Throws PictureUnusable. */
export async function pixelsOf(photo: Blob): Promise<ImageData> {
  const image = await decode(photo);
  const canvas = document.createElement("canvas");
  canvas.width = image.width;
  canvas.height = image.height;
  const context = canvas.getContext("2d", { willReadFrequently: true });
  if (context === null) throw new PictureUnusable("no canvas");
  context.drawImage(image.source, 0, 0);
  image.close();
  return context.getImageData(0, 0, canvas.width, canvas.height);
}

interface Decoded {
  source: CanvasImageSource;
  width: number;
  height: number;
  close: () => void;
}

async function decode(file: Blob): Promise<Decoded> {
  try {
    const bitmap = await createImageBitmap(file, { imageOrientation: "from-image" });
    return { source: bitmap, width: bitmap.width, height: bitmap.height, close: () => bitmap.close() };
  } catch {
    return decodeByElement(file);
  }
}

/** For browsers whose createImageBitmap does not support the format or the option. */
async function decodeByElement(file: Blob): Promise<Decoded> {
  const address = URL.createObjectURL(file);
  const image = new Image();
  image.src = address;
  try {
    await image.decode();
  } catch {
    URL.revokeObjectURL(address);
    throw new PictureUnusable("not a picture");
  }
  const close = () => URL.revokeObjectURL(address);
  return { source: image, width: image.naturalWidth, height: image.naturalHeight, close };
}

function encode(canvas: HTMLCanvasElement, quality: number): Promise<Blob> {
  return new Promise((resolve, reject) => {
    canvas.toBlob(
      (blob) => (blob === null ? reject(new PictureUnusable("not encoded")) : resolve(blob)),
      "image/jpeg",
      quality,
    );
  });
}
