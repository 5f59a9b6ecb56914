import { describe, expect, test } from 'vitest';
import { LineDecoder } from '../../src/core/decode/decoder.ts';
import type { Gap, SampleBlock } from '../../src/core/trace.ts';
import type { Chip } from './support/chip.ts';
import { startLogger } from './support/logger.ts';
import { monitorBus, MonitorModel } from './support/monitor-model.ts';
import type { LineLog } from './support/read-lines.ts';

const TURN_US = 2 ** 32;

function word(chip: Chip, address: number): number {
  return new DataView(chip.cpu.data.buffer, chip.cpu.data.byteOffset).getUint32(address, true);
}

/** Static data end below this address; above it lies the stack, where copies of the time come and go. */
const STACK_FROM = 0x700;

/** Where the program keeps its count of microseconds: the only word of its static data that equals it at six moments spread over the period. */
function clockAddress(chip: Chip, periodUs: number): number {
  let candidates = Array.from({ length: STACK_FROM - 0x100 }, (_, i) => 0x100 + i);
  for (let moment = 0; moment < 6; moment++) {
    chip.run(0.01733);
    const nowUs = (chip.timeS - chip.clockStartS) * 1e6;
    candidates = candidates.filter((address) => word(chip, address) === Math.floor(nowUs / periodUs) * periodUs);
  }
  expect(candidates.length).toBe(1);
  return candidates[0]!;
}

function setClock(chip: Chip, address: number, us: number): void {
  new DataView(chip.cpu.data.buffer, chip.cpu.data.byteOffset).setUint32(address, us, true);
}

/** What the program makes of the lines, each arriving when its last sample was taken. */
function decode(log: LineLog, startUs: number, rateHz: number): { blocks: SampleBlock[]; gaps: Gap[]; notices: { atS: number; code: string }[]; decoder: LineDecoder } {
  const blocks: SampleBlock[] = [];
  const gaps: Gap[] = [];
  const notices: { atS: number; code: string }[] = [];
  const decoder = new LineDecoder(null, { logger: () => {}, samples: (block) => blocks.push(block), gap: (gap) => gaps.push(gap), notice: (notice) => notices.push(notice) });
  let arrivalS = 0;
  log.lines.forEach((line, i) => {
    if (line.kind === 'block') arrivalS = ((line.tUs - startUs + TURN_US) % TURN_US) / 1e6 + line.current.length / rateHz;
    decoder.line(log.texts[i]!, arrivalS);
  });
  return { blocks, gaps, notices, decoder };
}

describe("the logger's clock at its wrap, 2^32 microseconds or 71.6 minutes after start", () => {
  test('blocks go on from 0 without a hole, a number missing or a block cut short; the program sees time rise evenly', () => {
    const address = clockAddress(startLogger({ image: 'adc' }).chip, 250);
    const { chip, log } = startLogger({ image: 'adc', inputs: { currentV: (t) => 1 + 3 * t } });
    while (chip.clockStartS === 0) chip.run(0.0001);
    const startUs = TURN_US - 300_000;
    setClock(chip, address, startUs);
    chip.run(0.45);
    chip.button(true);
    chip.run(0.05);
    chip.send('?');
    chip.run(0.1);

    expect(log.of('damaged')).toEqual([]);
    const sent = log.of('block');
    expect(sent.some((block) => block.tUs > TURN_US - 20_000)).toBe(true);
    expect(sent.some((block) => block.tUs < 20_000)).toBe(true);
    sent.forEach((block, i) => expect([block.seq, block.tUs, block.current.length]).toEqual([i, (startUs + 250 + i * 7500) % TURN_US, 30]));
    expect(log.of('hello').length).toBe(2);

    const { blocks, gaps, notices, decoder } = decode(log, startUs, 4000);
    expect(decoder.damage).toEqual({ badCrc: 0, malformed: 0, tooLong: 0, lostBlocks: 0, restarts: 0 });
    expect(gaps).toEqual([]);
    const timeS = blocks.flatMap((block) => [...block.timeS]);
    const currentA = blocks.flatMap((block) => [...block.currentA]);
    expect(timeS.length).toBe(30 * sent.length);
    for (let i = 1; i < timeS.length; i++) expect(Math.abs(timeS[i]! - timeS[i - 1]! - 250e-6)).toBeLessThan(5e-6);
    // a ramp of 3 V/s through 66 mV/A stays a ramp across the wrap, within the converter's count
    for (let i = 0; i < timeS.length; i++) expect(Math.abs(currentA[i]! - currentA[0]! - ((timeS[i]! - timeS[0]!) * 3) / 0.066)).toBeLessThan(0.15);
    expect(Math.abs(notices.find((notice) => notice.code === 'mark')!.atS - 0.45)).toBeLessThan(0.02);
  });

  test('a monitor lost before the wrap and connected after it comes back within 0.11 s', () => {
    const bus = (): ReturnType<typeof monitorBus> => monitorBus({ 0x40: new MonitorModel(() => 0.002, () => 12) });
    const address = clockAddress(startLogger({ image: 'monitor', bus: bus() }).chip, 1000);
    const monitor = new MonitorModel(() => 0.002, () => 12);
    const { chip, log } = startLogger({ image: 'monitor', bus: monitorBus({ 0x40: monitor }) });
    chip.run(0.2);
    setClock(chip, address, TURN_US - 200_000);
    chip.run(0.1);
    monitor.present = false;
    chip.run(0.2);
    monitor.present = true;
    chip.run(0.3);
    expect(log.codes()).toEqual(['start', 'sensor-lost', 'sensor-back']);
    const [, lost, back] = log.of('notice');
    expect(lost!.tUs).toBeGreaterThan(TURN_US - 110_000);
    expect(back!.tUs).toBeGreaterThan(90_000);
    expect(back!.tUs).toBeLessThan(210_000);
    expect(log.lines.at(-1)!.kind).toBe('block');
  });
});
