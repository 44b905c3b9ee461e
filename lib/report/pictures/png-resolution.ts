const signatureLength = 8;
const metre = 1000 / 25.4;

/**
 * A PNG that says how large it is to be printed: a `pHYs` chunk put after its header.
 *
 * @see ISO/IEC 15948, 11.3.5.3 (pHYs) and annex D (CRC).
 */
export function withResolution(
  png: Uint8Array<ArrayBuffer>,
  dpi: number,
): Uint8Array<ArrayBuffer> {
  const headerEnd = signatureLength + 12 + 13;
  const chunk = new Uint8Array(4 + 4 + 9 + 4);
  const view = new DataView(chunk.buffer);
  const perMetre = Math.round(dpi * metre);
  view.setUint32(0, 9);
  chunk.set(new TextEncoder().encode("pHYs"), 4);
  view.setUint32(8, perMetre);
  view.setUint32(12, perMetre);
  view.setUint8(16, 1);
  view.setUint32(17, crc(chunk.subarray(4, 17)));
  const result = new Uint8Array(png.length + chunk.length);
  result.set(png.subarray(0, headerEnd));
  result.set(chunk, headerEnd);
  result.set(png.subarray(headerEnd), headerEnd + chunk.length);
  return result;
}

function crc(bytes: Uint8Array): number {
  let value = 0xffffffff;
  for (const byte of bytes) {
    value ^= byte;
    for (let bit = 0; bit < 8; bit++) value = value & 1 ? (value >>> 1) ^ 0xedb88320 : value >>> 1;
  }
  return ~value >>> 0;
}
