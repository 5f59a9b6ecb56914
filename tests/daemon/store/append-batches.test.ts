import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { TAKEN_OVER, type AppendFile } from '../../../src/daemon/store/files/append-file.ts';
import { appendBatches } from '../../../src/daemon/store/samples/writing/append-batches.ts';

/** A disk with so much room, in memory. */
function disk(room: number): AppendFile & { readonly bytes: number[]; writes: number } {
  const bytes: number[] = [];
  const file = {
    bytes,
    writes: 0,
    async append(part: Uint8Array): Promise<void> {
      file.writes++;
      bytes.push(...part.subarray(0, room - bytes.length));
      if (bytes.length === room) throw Object.assign(new Error('no room'), { code: 'ENOSPC' });
    },
    sync: async () => undefined,
    async truncate(length: number): Promise<void> {
      bytes.length = length;
    },
    close: async () => undefined,
  };
  return file;
}

const batches = fc.array(fc.uint8Array({ minLength: 1, maxLength: 20 }), { minLength: 1, maxLength: 8 });

describe('batches that are written at once', () => {
  it('come in one write, and are reported together', async () => {
    const file = disk(Infinity);
    const reported: number[][] = [];
    await appendBatches(file, [Uint8Array.of(1), Uint8Array.of(2, 3)], 0, async (from, to) => void reported.push([from, to]));
    expect([file.bytes, file.writes, reported]).toEqual([[1, 2, 3], 1, [[0, 2]]]);
  });

  it('are kept as far as they are when one write each takes them: none is lost that the disk still has room for', async () => {
    await fc.assert(
      fc.asyncProperty(batches, fc.nat(120), async (parts, room) => {
        const one = disk(room);
        const plain: number[] = [];
        for (const part of parts) {
          const before = one.bytes.length;
          try {
            await one.append(part);
          } catch {
            await one.truncate(before);
            break;
          }
          plain.push(...part);
        }
        const file = disk(room);
        let kept = 0;
        await appendBatches(file, parts, 0, async (from, to) => void (kept += parts.slice(from, to).reduce((sum, part) => sum + part.length, 0))).catch(() => undefined);
        expect(file.bytes.slice(0, kept)).toEqual(plain);
      }),
    );
  });

  it('are not written again into a file that another program has taken', async () => {
    const file = disk(Infinity);
    let tries = 0;
    const taken: AppendFile = { ...file, append: () => ((tries += 1), Promise.reject(Object.assign(new Error('taken'), { code: TAKEN_OVER }))) };
    await expect(appendBatches(taken, [Uint8Array.of(1), Uint8Array.of(2)], 0, async () => undefined)).rejects.toThrow('taken');
    expect(tries).toBe(1);
  });
});
