import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import type { Chip } from './support/chip.ts';
import { ADC_START, samplesOf, startLogger } from './support/logger.ts';
import type { LineLog } from './support/read-lines.ts';

/** One count of the converter at the divider's top, V: 10 bit at 5 V. */
const VOLTAGE_COUNT_V = (5 / 1024) * (114.8 / 15);

/** Mean of the last 320 samples in the unit of the channel, by the hello line sent last: what a person reads off. */
function reading(chip: Chip, log: LineLog, channel: 0 | 1): number {
  chip.run(0.1);
  const samples = samplesOf(log, 4000);
  const tail = (channel === 0 ? samples.current : samples.voltage).slice(-320);
  const { scale, zero } = log.of('hello').at(-1)!.hello.channels[channel]!;
  return (tail.reduce((sum, count) => sum + count, 0) / tail.length - zero) * scale;
}

function command(chip: Chip, text: string): void {
  chip.send(`${text}\n`);
  chip.run(text.startsWith('zero') ? 1.05 : 0.22);
}

describe('calibration as its page describes it', () => {
  test('gain by two points: a Hall part of 69 mV/A taken for 66 reads 5 % too much, and right at other currents after it', () => {
    let currentA = 0;
    const { chip, log } = startLogger({ image: 'adc', inputs: { currentV: () => 2.51 + currentA * 0.069 } });
    chip.run(0.02);
    command(chip, 'zero');
    const countA = log.of('hello').at(-1)!.hello.channels[0]!.scale;
    currentA = 10;
    const read = reading(chip, log, 0);
    expect(Math.abs(read - (10 * 69) / 66)).toBeLessThan(countA);
    command(chip, `sensor ${((66 * read) / currentA).toFixed(2)}`);
    for (currentA of [10, 20, -15]) expect(Math.abs(reading(chip, log, 0) - currentA)).toBeLessThan(countA);
  });

  test('a divider of 2 % parts is put right by one reading of a meter', () => {
    let volts = 14.4;
    const { chip, log } = startLogger({ image: 'adc', inputs: { voltageV: () => (volts * 14.7) / (100 + 14.7) } });
    chip.run(0.1);
    const read = reading(chip, log, 1);
    expect(read).toBeCloseTo(14.1, 0);
    expect(volts - read).toBeGreaterThan(0.2);
    command(chip, `divider ${(((114.8 / 15) * volts) / read).toFixed(3)}`);
    for (volts of [14.4, 9, 25]) expect(Math.abs(reading(chip, log, 1) - volts)).toBeLessThan(2 * VOLTAGE_COUNT_V);
  });

  test('a zero that wanders by 20 mV looks like 0.30 A; a second zero step tells the drift to a tenth of a count', () => {
    let offsetV = 0;
    const { chip, log } = startLogger({ image: 'adc', inputs: { currentV: (t) => 2.5 + offsetV + 0.005 * Math.sin(2000 * t) } });
    chip.run(0.02);
    command(chip, 'zero');
    const before = log.of('hello').at(-1)!.hello.channels[0]!;
    expect(Math.abs(reading(chip, log, 0))).toBeLessThan(0.2 * before.scale);
    offsetV = 0.02;
    expect(Math.abs(reading(chip, log, 0) - 0.02 / 0.066)).toBeLessThan(0.2 * before.scale);
    expect(log.codes()).toEqual([...ADC_START, 'zero']); // nothing in the lines tells drift from a current
    command(chip, 'zero');
    const after = log.of('hello').at(-1)!.hello.channels[0]!;
    expect(Math.abs(after.zero - before.zero - (0.02 / 5) * 1024)).toBeLessThan(0.1);
    expect(Math.abs(reading(chip, log, 0))).toBeLessThan(0.2 * before.scale);
  });
});

describe('the calibration page', () => {
  const read = (name: string): string => readFileSync(new URL(`../../firmware-notes/${name}`, import.meta.url), 'utf8');
  const page = read('calibration.md');
  const rows = page.split('\n').filter((line) => /^\| (Hall|clamp|coarse)[^|]*\|[^|]*\|[^|]*\|[^|]*\|[^|]*\|$/.test(line)).map((line) => line.slice(1, -1).split('|').map((cell) => cell.trim()));
  /** A lamp of 55 W at 12 V, A. */
  const LAMP_A = 55 / 12;

  test('reaches half of every range with lamps and turns, and stays inside it', () => {
    expect(rows.length).toBe(7);
    for (const [sensor, clips, lamps, turns, seen] of rows) {
      expect(Math.abs(Number(seen) - Number(lamps) * Number(turns) * LAMP_A)).toBeLessThan(0.02 * Number(seen));
      // the 5 A part is specified to 5 A, far below where it clips
      const range = sensor!.includes('specified to 5 A') ? 5 : Number(clips);
      expect(Number(seen), sensor).toBeGreaterThanOrEqual(range / 2);
      expect(Number(seen), sensor).toBeLessThan(0.95 * range);
      // turns go through a clamp only, and a meter's 10 A range holds the lamps that share one wire
      if (!sensor!.startsWith('clamp')) expect(turns).toBe('1');
      else expect(Number(lamps) * LAMP_A).toBeLessThan(10);
    }
  });

  test('and the build guide hold the same ranges', () => {
    const guide = read('build-guide.md');
    for (const [sensor, clips] of rows.filter(([name]) => !name!.startsWith('coarse'))) {
      const name = sensor!.replace(/ \(.*\)/, '');
      expect(guide).toMatch(new RegExp(`^\\| ${name} \\|(?:[^|]*\\|){3} ${clips!.replace('.', '\\.')} \\|`, 'm'));
    }
  });

  test('prints the answers that the logger gives', () => {
    const { chip, log } = startLogger({ image: 'adc', inputs: { currentV: () => 2.7 } }); // 3.03 A of a 30 A part
    chip.run(0.1);
    chip.send('zero\n');
    chip.run(1.1);
    const shape = (text: string): string => text.replaceAll(/-?\d+\.\d+/g, 'N');
    const printed = [...page.matchAll(/`((?:refused|zero),[^`]+)`/g)].map((match) => shape(match[1]!.replace('…', 'N A')));
    expect(printed).toContain(shape(`refused,${log.of('notice').at(-1)!.text}`));
    chip.inputs.currentV = () => 2.515;
    chip.run(0.1);
    chip.send('zero\n');
    chip.run(1.1);
    expect(printed).toContain(shape(`zero,${log.of('notice').at(-1)!.text}`));
    chip.inputs.currentV = (t) => 2.5 + 0.05 * Math.sin(40 * t);
    chip.send('zero force\n');
    chip.run(1.1);
    expect(printed).toContain(shape(`refused,${log.of('notice').at(-1)!.text}`));
  });

  test('a clamp behind its front end reads in amperes, and stays right when the 5 V sags, because its command says it has volts of its own', () => {
    let supplyV = 5;
    let currentA = 0;
    // 10 mV/A, gain 2, level-shifted to half the supply
    const { chip, log } = startLogger({ image: 'adc', inputs: { supplyV: () => supplyV, currentV: () => supplyV / 2 + currentA * 0.02 } });
    chip.run(0.4);
    for (const text of ['supply 5.00', 'clamp 20', 'zero']) command(chip, text);
    const channel = log.of('hello').at(-1)!.hello.channels[0]!;
    // one count of the converter is 0.244 A; it is sent in sixteenths
    expect(channel.scale * 16).toBeCloseTo(5 / 1024 / 0.02, 4);
    expect(channel.range[1]).toBeCloseTo(109.9, 0);
    for (const [volts, amperes] of [[5, 50], [4.65, 50], [4.65, -80], [5.2, 80]] as const) {
      supplyV = volts;
      currentA = amperes;
      chip.run(1);
      expect(Math.abs(reading(chip, log, 0) - amperes)).toBeLessThan(0.25 + 0.006 * Math.abs(amperes));
    }
  });

  test('a change from Hall part to clamp and back begins at the middle again, not at the other kind\'s zero', () => {
    const { chip, log } = startLogger({ image: 'adc', inputs: { currentV: () => 2.51 } });
    chip.run(0.1);
    for (const text of ['zero', 'clamp 20']) command(chip, text);
    expect(log.of('hello').at(-1)!.hello.channels[0]!.zero).toBe(0);
    command(chip, 'sensor 66');
    expect(log.of('hello').at(-1)!.hello.channels[0]!.zero).toBe(512);
  });
});
