import { describe, expect, it } from 'vitest';
import { LineDecoder } from '../../../src/core/decode/decoder.ts';
import { MAX_LINE_BYTES } from '../../../src/core/decode/line-splitter.ts';
import { blockLine, bytesOf, collect, countingBlock, helloLine, openDecoder } from './kit.ts';

/** A decoder, and a way to send it so many lines of one number, or of two. */
function opened() {
  const { decoder, all } = openDecoder();
  let atS = 0;
  const send = (count: number, line: string): void => {
    for (let i = 0; i < count; i++) decoder.line(line, (atS += 0.001));
  };
  return { decoder, all, send, ones: (count: number) => send(count, '1.5'), twos: (count: number) => send(count, '1.5,12') };
}

describe('the shape of a stream of numbers', () => {
  it('is believed after three lines', () => {
    const { decoder, all, ones } = opened();
    ones(2);
    expect([decoder.kind, all.loggers.length, decoder.goodLines]).toEqual(['unknown', 0, 0]);
    ones(1);
    expect([decoder.kind, all.loggers.length, decoder.goodLines]).toEqual(['numbers', 1, 3]);
  });

  it('is believed the later, the more often it changes: eight times as many lines each time, 12,288 at most', () => {
    const { all, ones, twos } = opened();
    ones(3);
    // 3 x 8^k; after each change the shape is left at once
    for (const [at, lines] of [3, 24, 192, 1536, 12_288, 12_288].entries()) {
      const send = at % 2 === 0 ? twos : ones;
      send(lines - 1);
      expect(all.loggers, String(lines)).toHaveLength(at + 1);
      send(1);
      expect(all.loggers, String(lines)).toHaveLength(at + 2);
    }
  });

  it('is forgotten to have changed after ten thousand lines', () => {
    const changed = (lines: number): number => {
      const { all, ones, twos } = opened();
      ones(3);
      twos(3 + lines);
      ones(3);
      return all.loggers.length;
    };
    expect([changed(9_999), changed(10_000)]).toEqual([2, 3]);
  });

  it('is said to be mixed after 24 lines of another one, once', () => {
    const said = (strays: number, together = 1): number => {
      const { all, ones, twos } = opened();
      ones(3);
      for (let k = 0; k < strays; k += together) {
        twos(together);
        ones(1);
      }
      return all.notices.filter(({ code }) => code === 'mixed-lines').length;
    };
    expect([said(23), said(24), said(25), said(200)]).toEqual([0, 1, 1, 1]);
    expect([said(22, 2), said(24, 2)]).toEqual([0, 1]);
  });

  it('too few to be believed count as damaged: when another comes, when the stream ends, not when the connection does', () => {
    const { decoder, ones, twos, send } = opened();
    ones(3);
    twos(2);
    expect(decoder.damage.malformed).toBe(0);
    send(2, '1,2,3');
    expect(decoder.damage.malformed).toBe(2);
    ones(1);
    expect(decoder.damage.malformed).toBe(4);
    twos(2);
    decoder.end();
    expect(decoder.damage.malformed).toBe(6);
    twos(2);
    decoder.reopened();
    decoder.end();
    expect(decoder.damage.malformed).toBe(6);
  });

  it('noise among them is counted, and ends what was to be believed; comments and blank lines are neither', () => {
    const { decoder, all, twos, send } = opened();
    twos(2);
    send(1, 'noise');
    twos(2);
    send(1, '# 1,2');
    send(1, '   ');
    send(1, '');
    expect([all.loggers.length, decoder.damage.malformed]).toEqual([0, 3]);
    twos(1);
    expect([all.loggers.length, decoder.damage.malformed]).toEqual([1, 3]);
  });

  it('is another once the connection was opened again: nothing is remembered of changes, strays and good lines', () => {
    const { decoder, all, ones, twos } = opened();
    ones(3);
    twos(3);
    for (let k = 0; k < 23; k++) {
      ones(1);
      twos(1);
    }
    decoder.reopened();
    expect(decoder.goodLines).toBe(0);
    // the first line is the rest of one
    ones(1);
    for (let k = 0; k < 23; k++) {
      ones(1);
      twos(1);
    }
    expect(all.notices).toEqual([]);
    ones(3);
    expect(all.loggers).toHaveLength(3);
  });

  it('asked for by a column list needs as many numbers as that', () => {
    const { decoder, all } = openDecoder('skip,current:A,voltage:V');
    for (let i = 0; i < 5; i++) decoder.line('7,1.5', i);
    expect(decoder.damage.malformed).toBe(5);
    for (let i = 0; i < 200; i++) decoder.line('7,1.5,12', 5 + 0.01 * i);
    decoder.end();
    expect([all.currentA[0], all.voltageV[0], decoder.damage.malformed]).toEqual([1.5, 12, 5]);
  });
});

describe('a stream that turns out to be another', () => {
  it('is framed from its hello on: numbers are handed on till then, and count as damaged after', () => {
    const { decoder, all, ones } = opened();
    ones(2000);
    decoder.line(helloLine(), 2.1);
    expect([decoder.kind, all.timeS.length]).toEqual(['logger', 2000]);
    ones(2);
    expect(decoder.damage.malformed).toBe(2);
    decoder.line(blockLine(0, 0, countingBlock(0, 10)), 3);
    expect([all.timeS.length, all.gaps.length]).toEqual([2010, 1]);
  });

  it('may be numbers again after the connection was opened again, when three lines say so', () => {
    const { decoder, all, ones } = opened();
    ones(3);
    decoder.line(helloLine(), 2);
    decoder.reopened();
    // the first is the rest of one
    ones(3);
    expect([decoder.kind, all.loggers.length]).toEqual(['unknown', 2]);
    ones(1);
    expect([decoder.kind, all.loggers.length]).toEqual(['numbers', 3]);
  });

  it('has what the former one refused in its counts', () => {
    const { decoder, ones, twos, send } = opened();
    ones(3);
    send(4, '1e6');
    expect([decoder.damage.malformed, decoder.refusedLines]).toEqual([4, 4]);
    twos(3);
    expect([decoder.damage.malformed, decoder.refusedLines]).toEqual([4, 4]);
  });

  it('has the restarts of the former one too', () => {
    const { decoder, all } = openDecoder('time:ms,current:A');
    for (let i = 0; i < 2000; i++) decoder.line(`${9000 + i},1`, 1 + 0.001 * i);
    for (let i = 0; i < 10; i++) decoder.line(`${i},1`, 3 + 0.001 * i);
    expect(decoder.damage.restarts).toBe(1);
    decoder.line(helloLine(), 3.1);
    expect([decoder.damage.restarts, all.timeS.length]).toEqual([1, 2010]);
  });
});

describe('a line as it comes', () => {
  it('may have a carriage return at its end, one', () => {
    const { decoder, all } = openDecoder();
    for (let i = 0; i < 200; i++) decoder.line('1.5\r', 0.01 * i);
    decoder.end();
    expect([all.timeS.length, decoder.damage.malformed]).toEqual([200, 0]);
    decoder.line('\r', 3);
    expect(decoder.damage.malformed).toBe(0);
  });

  it('may be so long, and not longer', () => {
    const { decoder } = openDecoder();
    decoder.line('x'.repeat(MAX_LINE_BYTES), 1);
    expect(decoder.damage).toMatchObject({ tooLong: 0, malformed: 1 });
    decoder.line('x'.repeat(MAX_LINE_BYTES + 1), 1);
    expect(decoder.damage).toMatchObject({ tooLong: 1, malformed: 1 });
    expect(decoder.refusedLines).toBe(2);
  });

  it('is the rest of one where it is the first, unless a checksum says otherwise; one too long is a first one too', () => {
    const all = collect();
    const decoder = new LineDecoder(null, all);
    decoder.push(bytesOf(`${'x'.repeat(MAX_LINE_BYTES + 1)}\n1.5\n1.5\n`), 0);
    expect(decoder.kind).toBe('unknown');
    decoder.push(bytesOf('1.5\n'), 0);
    expect(decoder.kind).toBe('numbers');
    const again = new LineDecoder(null, collect());
    again.push(bytesOf('1.5\n1.5\n1.5\n'), 0);
    expect(again.kind).toBe('unknown');
  });

  it('of a code that no byte has is no number', () => {
    const { decoder } = openDecoder();
    // U+0131 would be "1" in its low byte
    for (let i = 0; i < 3; i++) decoder.line('\u0131', i);
    expect([decoder.kind, decoder.damage.malformed]).toEqual(['unknown', 3]);
    for (let i = 0; i < 3; i++) decoder.line('1.5', i + 3);
    expect(decoder.kind).toBe('numbers');
  });
});
