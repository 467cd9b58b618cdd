/** How a picture is to be turned: 1 to 8 as in Exif (tag 0x0112); 1 as it lies. */
const TAG = 0x0112;
const SHORT = 3;

const view = (bytes: Uint8Array): DataView =>
  new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);

/** Reads the orientation of a TIFF block as Exif writes it; 1 when it says none that can be read. */
export const orientationOf = (tiff: Uint8Array): number => {
  if (tiff.length < 14) return 1;
  const data = view(tiff);
  const order = data.getUint16(0);
  if (order !== 0x4949 && order !== 0x4d4d) return 1;
  const little = order === 0x4949;
  const ifd = data.getUint32(4, little);
  if (ifd + 2 > tiff.length) return 1;
  const count = data.getUint16(ifd, little);
  for (let i = 0; i < count; i++) {
    const at = ifd + 2 + i * 12;
    if (at + 12 > tiff.length) return 1;
    if (data.getUint16(at, little) !== TAG || data.getUint16(at + 2, little) !== SHORT) continue;
    const value = data.getUint16(at + 8, little);
    return value >= 1 && value <= 8 ? value : 1;
  }
  return 1;
};

/** A TIFF block that says the orientation and nothing else, big-endian, 26 bytes. */
export const orientationBlock = (orientation: number): Uint8Array => {
  const bytes = new Uint8Array(26);
  const data = view(bytes);
  data.setUint32(0, 0x4d4d002a);
  data.setUint32(4, 8);
  data.setUint16(8, 1);
  data.setUint16(10, TAG);
  data.setUint16(12, SHORT);
  data.setUint32(14, 1);
  data.setUint16(18, orientation);
  return bytes;
};
