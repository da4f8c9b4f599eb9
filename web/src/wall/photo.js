// photo.js - a picture from the camera, no larger than 2000 px, upright, as JPEG.
const MOST = 2000;

/** @param {Blob} file @returns {Promise<Blob>} */
export async function shrink(file) {
  const image = await createImageBitmap(file, { imageOrientation: "from-image" });
  const part = Math.min(1, MOST / Math.max(image.width, image.height));
  const canvas = document.createElement("canvas");
  canvas.width = Math.max(1, Math.round(image.width * part));
  canvas.height = Math.max(1, Math.round(image.height * part));
  canvas.getContext("2d")?.drawImage(image, 0, 0, canvas.width, canvas.height);
  image.close();
  return new Promise((resolve, reject) => canvas.toBlob((b) => (b ? resolve(b) : reject(new Error("This picture could not be read."))), "image/jpeg", 0.85));
}
