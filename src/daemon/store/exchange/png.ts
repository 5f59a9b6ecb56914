import { crc32, deflateSync } from 'node:zlib';
import type { Raster } from '../../../core/picture/raster.ts';

const SIGNATURE = Uint8Array.of(0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a);

/** A raster as a PNG file (W3C PNG, third edition): 8-bit palette, no filter, which drawings with flat areas need none of. `title` goes into its iTXt chunk. */
export function pngOf({ width, height, pixels, palette }: Raster, title: string): Uint8Array {
  const header = Buffer.alloc(13);
  header.writeUInt32BE(width, 0);
  header.writeUInt32BE(height, 4);
  header.set([8, 3, 0, 0, 0], 8);
  const rows = Buffer.alloc((width + 1) * height);
  for (let y = 0; y < height; y++) rows.set(pixels.subarray(y * width, (y + 1) * width), y * (width + 1) + 1);
  const words = Buffer.concat([Buffer.from('Title\0\0\0\0\0', 'latin1'), Buffer.from(title.replaceAll('\0', ''), 'utf8')]);
  return Buffer.concat([SIGNATURE, chunk('IHDR', header), chunk('iTXt', words), chunk('PLTE', palette), chunk('IDAT', deflateSync(rows)), chunk('IEND', new Uint8Array(0))]);
}

function chunk(type: string, data: Uint8Array): Buffer {
  const bytes = Buffer.alloc(12 + data.length);
  bytes.writeUInt32BE(data.length, 0);
  bytes.write(type, 4, 'latin1');
  bytes.set(data, 8);
  bytes.writeUInt32BE(crc32(bytes.subarray(4, 8 + data.length)), 8 + data.length);
  return bytes;
}
