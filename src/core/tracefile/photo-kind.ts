/** What a stranger's file really is, by its own bytes: its name and the browser's word for it count for nothing. */
export interface PhotoKind {
  readonly type: 'image/jpeg' | 'image/png' | 'image/webp';
  readonly ending: 'jpg' | 'png' | 'webp';
  readonly widthPx: number;
  readonly heightPx: number;
}

/** Null for anything but a JPEG, PNG or WebP whose size in pixels can be read: SVG, HTML, GIF and PDF among them. */
export function photoKind(bytes: Uint8Array): PhotoKind | null {
  const kind = readPng(bytes) ?? readWebp(bytes) ?? readJpeg(bytes);
  return kind !== null && kind.widthPx > 0 && kind.heightPx > 0 ? kind : null;
}

/** PNG (W3C), 5.2 and 11.2.2: signature, then IHDR with width and height. */
const PNG_SIGNATURE = [0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a];

function readPng(bytes: Uint8Array): PhotoKind | null {
  if (bytes.length < 24 || PNG_SIGNATURE.some((byte, at) => bytes[at] !== byte) || ascii(bytes, 12, 4) !== 'IHDR') return null;
  return { type: 'image/png', ending: 'png', widthPx: big32(bytes, 16), heightPx: big32(bytes, 20) };
}

/** WebP container: RIFF, then VP8 (RFC 6386, 9.1), VP8L or VP8X with the size (RFC 9649, 2.7 and 3.4). */
function readWebp(bytes: Uint8Array): PhotoKind | null {
  if (bytes.length < 30 || ascii(bytes, 0, 4) !== 'RIFF' || ascii(bytes, 8, 4) !== 'WEBP') return null;
  const size = (widthPx: number, heightPx: number): PhotoKind => ({ type: 'image/webp', ending: 'webp', widthPx, heightPx });
  switch (ascii(bytes, 12, 4)) {
    case 'VP8 ':
      return size(little16(bytes, 26) & 0x3fff, little16(bytes, 28) & 0x3fff);
    case 'VP8L':
      return bytes[20] === 0x2f ? size(1 + (((bytes[22] & 0x3f) << 8) | bytes[21]), 1 + (((bytes[24] & 0x0f) << 10) | (bytes[23] << 2) | (bytes[22] >> 6))) : null;
    case 'VP8X':
      return size(1 + little24(bytes, 24), 1 + little24(bytes, 27));
    default:
      return null;
  }
}

/** JPEG (ITU-T T.81, B.1 and B.2.2): markers with lengths up to the frame header, which has the size. */
function readJpeg(bytes: Uint8Array): PhotoKind | null {
  if (bytes[0] !== 0xff || bytes[1] !== 0xd8) return null;
  let at = 2;
  while (at + 9 < bytes.length && bytes[at] === 0xff) {
    const marker = bytes[at + 1];
    if (marker === 0xff) {
      at++;
      continue;
    }
    if (isFrame(marker)) return { type: 'image/jpeg', ending: 'jpg', heightPx: (bytes[at + 5] << 8) | bytes[at + 6], widthPx: (bytes[at + 7] << 8) | bytes[at + 8] };
    // a length below 2 leads to its own bytes, which are no marker
    at += 2 + ((bytes[at + 2] << 8) | bytes[at + 3]);
  }
  return null;
}

/** SOF0 to SOF15 without DHT, JPG and DAC, which share the range (T.81, table B.1). */
function isFrame(marker: number): boolean {
  return marker >= 0xc0 && marker <= 0xcf && marker !== 0xc4 && marker !== 0xc8 && marker !== 0xcc;
}

function ascii(bytes: Uint8Array, from: number, length: number): string {
  return String.fromCharCode(...bytes.subarray(from, from + length));
}

function big32(bytes: Uint8Array, at: number): number {
  return ((bytes[at] << 24) | (bytes[at + 1] << 16) | (bytes[at + 2] << 8) | bytes[at + 3]) >>> 0;
}

function little16(bytes: Uint8Array, at: number): number {
  return bytes[at] | (bytes[at + 1] << 8);
}

function little24(bytes: Uint8Array, at: number): number {
  return little16(bytes, at) | (bytes[at + 2] << 16);
}
