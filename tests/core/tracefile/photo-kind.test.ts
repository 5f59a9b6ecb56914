import { deflateSync } from 'node:zlib';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { photoKind } from '../../../src/core/tracefile/photo-kind.ts';

const text = (words: string): Uint8Array => new TextEncoder().encode(words.padEnd(64, ' '));
const bytes = (...parts: (number[] | string | Uint8Array)[]): Uint8Array => Uint8Array.from(parts.flatMap((part) => (typeof part === 'string' ? [...part].map((letter) => letter.charCodeAt(0)) : [...part])));

describe('what a file is, by its own bytes', () => {
  it('is a JPEG, PNG or WebP with its size', () => {
    const png = bytes([0x89], 'PNG', [13, 10, 26, 10, 0, 0, 0, 13], 'IHDR', [0, 0, 2, 128, 0, 0, 1, 224, 8, 2, 0, 0, 0], deflateSync(new Uint8Array(9)));
    expect(photoKind(png)).toEqual({ type: 'image/png', ending: 'png', widthPx: 640, heightPx: 480 });
    // APP1 of a telephone comes before the frame
    const jpeg = bytes([0xff, 0xd8, 0xff, 0xe1, 0, 8], 'Exif\0\0', [0xff, 0xc4, 0, 4, 1, 2, 0xff, 0xc2, 0, 17, 8, 0x0b, 0xd0, 0x0f, 0xc0, 3, 1, 0x22, 0, 2, 0x11]);
    expect(photoKind(jpeg)).toEqual({ type: 'image/jpeg', ending: 'jpg', widthPx: 4032, heightPx: 3024 });
    const webp = bytes('RIFF', [0, 0, 0, 0], 'WEBPVP8X', [10, 0, 0, 0, 0, 0, 0, 0, 0x7f, 2, 0, 0xdf, 1, 0, 0, 0]);
    expect(photoKind(webp)).toEqual({ type: 'image/webp', ending: 'webp', widthPx: 640, heightPx: 480 });
  });

  it.each([
    ['SVG', text('<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>')],
    ['HTML', text('<!doctype html><script>alert(1)</script>')],
    ['GIF', text('GIF89a')],
    ['PDF', text('%PDF-1.7')],
    ['an SVG behind a comment that looks like nothing', text('<!-- \xff\xd8\xff --><svg/>')],
    ['a JPEG mark and then a page', bytes([0xff, 0xd8, 0xff], '<script>alert(1)</script>'.padEnd(64))],
    ['a PNG of no pixels', bytes([0x89], 'PNG', [13, 10, 26, 10, 0, 0, 0, 13], 'IHDR', [0, 0, 0, 0, 0, 0, 0, 0, 8, 2, 0, 0, 0])],
    ['nothing', new Uint8Array(0)],
  ])('is not a photo: %s', (_name, file) => {
    expect(photoKind(file)).toBeNull();
  });

  it('never throws, and ends, whatever the bytes are', () => {
    fc.assert(fc.property(fc.uint8Array({ maxLength: 300 }), fc.constantFrom([0xff, 0xd8, 0xff], [0x89, 0x50], [0x52, 0x49, 0x46, 0x46]), (rest, head) => {
      const kind = photoKind(Uint8Array.from([...head, ...rest]));
      expect(kind === null || (kind.widthPx > 0 && kind.heightPx > 0)).toBe(true);
    }));
  });
});
