import { existsSync, readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { render } from '../../firmware-notes/circuit/render.ts';

const folder = new URL('../../firmware-notes/', import.meta.url);
const read = (path: string): string => readFileSync(new URL(path, folder), 'utf8');
const guide = read('build-guide.md');

/**
 * The guide is judged as a reader with a calculator would: values of parts are read from its own parts lists, and every figure is reckoned
 * from them by formulas written here, not by those of the script that made the guide.
 */
function table(head: string): string[][] {
  const lines = guide.split('\n');
  const at = lines.findIndex((line) => line.startsWith(`| ${head}`));
  expect(at, head).toBeGreaterThan(0);
  const rows = lines.slice(at + 2);
  return rows.slice(0, rows.findIndex((line) => !line.startsWith('|'))).map((line) => line.slice(1, -1).split('|').map((cell) => cell.trim()));
}

/** A printed figure is good to half its last digit. */
function expectPrinted(cell: string, value: number): void {
  const number = /-?[\d.]+/.exec(cell)![0];
  const places = number.split('.')[1]?.length ?? 0;
  // whole numbers may be rounded to two digits
  const trailing = places === 0 ? /0*$/.exec(number)![0].length : 0;
  const half = places === 0 && Math.abs(value) >= 100 ? 0.5 * 10 ** Math.min(trailing, Math.floor(Math.log10(Math.abs(value))) - 1) : 0.5 * 10 ** -places;
  expect(Math.abs(Number(number) - value), `${cell} for ${value}`).toBeLessThanOrEqual(half * 1.0001 + 1e-12);
}

const UNIT: Readonly<Record<string, number>> = { M: 1e6, k: 1e3, '': 1, m: 1e-3, µ: 1e-6, n: 1e-9 };
/** All values of a part's row that carry the unit, in SI. */
function values(reference: string, unit: string, section = guide): number[] {
  const line = section.split('\n').find((row) => new RegExp(`^\\| (?:[^|]*, )?${reference}(?:,| to | \\|)`).test(row));
  expect(line, reference).toBeDefined();
  return [...line!.split('|')[3]!.matchAll(new RegExp(`([\\d.]+) ([Mkmµn]?)${unit}(?![a-z])`, 'g'))].map((match) => Number(match[1]) * UNIT[match[2]!]!);
}
const motorPart = guide.slice(guide.indexOf('## Motor logger'), guide.indexOf('### A clamp'));
const clampPart = guide.slice(guide.indexOf('### A clamp'), guide.indexOf('## Drain logger'));
const drainPart = guide.slice(guide.indexOf('## Drain logger'), guide.indexOf('## Protection'));

const [r2s, c3F] = [values('R2', 'Ω', motorPart), values('R2', 'F', motorPart)[0]!];
const [topOhm, r6Ohm] = [2 * values('R4', 'Ω', motorPart)[0]!, values('R4', 'Ω', motorPart)[1]!];
const c4s = values('C4', 'F', motorPart);
const [r24Ohm, r25Ohm] = [values('R24', 'Ω', drainPart)[0]!, values('R25', 'Ω', drainPart)[0]!];
const gateOhm = values('R10', 'Ω', drainPart)[0]!;
const senseOhm = 2 * values('R20', 'Ω', drainPart)[0]!;
const c10F = values('C10', 'F', drainPart)[0]!;
const [coarseOhm, fineOhm] = [values('RS1', 'Ω', drainPart)[0]!, values('RS2', 'Ω', drainPart)[0]!];
const seenOhm = 1 / (1 / topOhm + 1 / r6Ohm);

describe('the build guide', () => {
  test('is what the script writes from the values: run npx tsx firmware-notes/circuit/write.ts after a change', () => {
    expect(guide).toBe(render(read('circuit/build-guide.template.md')));
  });

  test('points only to pages and drawings that are there', () => {
    const targets = [...guide.matchAll(/\]\(([^)]+)\)/g)].map((match) => match[1]!);
    expect(targets.length).toBeGreaterThan(6);
    for (const target of targets) expect([target, existsSync(new URL(target, folder))]).toEqual([target, true]);
  });

  test('and the program hold the same numbers: divider, filter, bypass, bus range, ranges of the converter', () => {
    const config = read('reference-logger/config.h');
    const divider = /DEFAULT_DIVIDER \(\(2 \* ([\d.]+)f \+ ([\d.]+)f\) \/ ([\d.]+)f\)/.exec(config)!;
    expect([Number(divider[1]) * 2e3, Number(divider[2]) * 1e3, Number(divider[3]) * 1e3]).toEqual([topOhm, r6Ohm, r6Ohm]);
    expect(Number(/BUS_HIGHEST_V ([\d.]+)f/.exec(config)![1])).toBe(31.4);
    const settlingS = Number(/FINE_SETTLING_MS (\d+)/.exec(config)![1]) / 1000;
    // nine time constants of the filter and the slowest gate: a step of 81.92 mV is then within half a step of 2.5 uV... e^9 is 8103
    expect(settlingS).toBeGreaterThanOrEqual(9 * senseOhm * c10F + 0.0006);
    const [clipLow, clipHigh] = ['LOW', 'HIGH'].map((end) => Number(new RegExp(`CLIP_${end} (\\d+)`).exec(config)![1]));
    // 0.3 V from either rail of 5 V, in counts
    expect(Math.abs(clipLow! - (0.3 / 5) * 1024)).toBeLessThan(1);
    expect(Math.abs(clipHigh! - (4.7 / 5) * 1024)).toBeLessThan(1);
    expect(read('reference-logger/sensor_adc.c')).toMatch(/#define CLOCK_125K \(_BV\(ADPS2\) \| _BV\(ADPS1\) \| _BV\(ADPS0\)\)/); // 16 MHz / 128
  });
});

describe('the figures of the build guide, from its parts', () => {
  test('sensors: one count of 10 bit at 5 V, and 450 counts to the clipping; clamps times their gain', () => {
    // 185/100/66 mV/A: Allegro ACS712 data sheet, p. 5
    const [r31, gains] = [values('R31', 'Ω', clampPart)[0]!, values('R33', 'Ω', clampPart)];
    const expected = [0.185, 0.1, 0.066, ...[0.01, 0.1].flatMap((vPerA) => gains.map((ohm) => (vPerA * ohm) / r31))];
    const rows = table('sensor | command');
    expect(rows.length).toBe(expected.length);
    rows.forEach(([, command, mvPerA, count, clip], i) => {
      expectPrinted(mvPerA!, expected[i]! * 1e3);
      expect(Number(/\d[\d.]*/.exec(command!)![0])).toBeCloseTo(expected[i]! * 1e3, 6);
      expect(command!.startsWith(i < 3 ? '`sensor ' : '`clamp ')).toBe(true);
      expectPrinted(count!, 5 / 1024 / expected[i]!);
      expectPrinted(clip!, (450 * 5) / 1024 / expected[i]!);
    });
    expectPrinted(/up to ([\d.]+) V in/.exec(motorPart)![1]!, ((1023 * 5) / 1024) * ((topOhm + r6Ohm) / r6Ohm));
    expectPrinted(/steps of ([\d.]+) mV/.exec(motorPart)![1]!, (5000 / 1024) * ((topOhm + r6Ohm) / r6Ohm));
  });

  test('clamp front end: corner, noise (Johnson 1928: 4kTR), step noise (MT-001: a twelfth root), offset, load', () => {
    const [r31, gains] = [values('R31', 'Ω', clampPart)[0]!, values('R33', 'Ω', clampPart)];
    const noiseHz = 1 / (4 * r2s[0]! * c3F); // first order: pi/2 times 1/(2 pi R C)
    // Without a clamp both inputs are joined to half the supply and to ground only: V+ = V/2, V- = Vout/(1 + gain).
    const unpluggedV = Math.min(...gains.map((ohm) => 2.5 * (1 + ohm / r31)));
    expectPrinted(/it would be at ([\d.]+) V/.exec(clampPart)![1]!, unpluggedV);
    expect(unpluggedV).toBeGreaterThan(4.7); // the program calls that beyond the range
    const rows = table('clamp, switch | range, ± A');
    const cases = [0.01, 0.1].flatMap((vPerA) => gains.map((ohm) => [vPerA, ohm] as const));
    rows.forEach(([, , corner, amplifier, step, offset, load], i) => {
      const [vPerA, ohm] = cases[i]!;
      const gain = ohm / r31;
      const johnson = 4 * 1.380649e-23 * 300 * ((r31 * ohm) / (r31 + ohm));
      expectPrinted(corner!, 1 / (2 * Math.PI * r2s[0]! * c3F));
      expectPrinted(amplifier!, (1e3 * Math.sqrt((28e-9 ** 2 + 2 * johnson) * noiseHz) * (1 + gain)) / (vPerA * gain));
      expectPrinted(step!, (1e3 * 5) / 1024 / Math.sqrt(12) / (vPerA * gain));
      expectPrinted(offset!, (4.5e-3 * (1 + gain)) / (vPerA * gain));
      expectPrinted(load!, (100 * 100) / (r31 + ohm));
    });
  });

  test('shunts: 2.5 uV a step and 81.92 mV at full scale (TI SBOS547)', () => {
    const rows = table('shunt, mΩ | one step, A');
    expect(rows.map((row) => Number(row[0]) / 1e3)).toEqual([coarseOhm, fineOhm]);
    for (const [milliohm, step, full, loss, offset] of rows) {
      const ohm = Number(milliohm) / 1000;
      expectPrinted(step!, 2.5e-6 / ohm);
      expectPrinted(full!, 0.08192 / ohm);
      expectPrinted(loss!, 0.08192 ** 2 / ohm);
      expectPrinted(offset!, 10e-6 / ohm);
    }
    expectPrinted(/RS1 then turns ([\d.]+) W/.exec(drainPart)![1]!, 10 ** 2 * coarseOhm);
    expectPrinted(/heat, Q1 ([\d.]+) W/.exec(drainPart)![1]!, 10 ** 2 * 2.8e-3);
  });

  test('filters: corner 1/(2 pi R C), what a first-order low-pass leaves at half the rate, and how far the pairs are apart', () => {
    const rows = table('where | R, kΩ');
    expect(rows.length).toBe(7);
    const parts = [...r2s.flatMap((ohm, i) => [[ohm, c3F], [seenOhm, c4s[i]!]]), [senseOhm, c10F]];
    rows.forEach(([, kiloOhm, nanoF, rate, corner, left], i) => {
      const [ohm, farad] = parts[i] as [number, number];
      expectPrinted(kiloOhm!, ohm / 1e3);
      expectPrinted(nanoF!, farad * 1e9);
      const cornerHz = 1 / (2 * Math.PI * ohm * farad);
      expectPrinted(corner!, cornerHz);
      expectPrinted(left!, -10 * Math.log10(1 + (Number(rate) / 2 / cornerHz) ** 2));
    });
    table('speed | volts later').forEach(([, us], i) => expectPrinted(us!, 1e6 * (seenOhm * c4s[i]! - r2s[i]! * c3F)));
    expectPrinted(/time constant of ([\d.]+) ms/.exec(guide)![1]!, 1e3 * senseOhm * c10F);
  });

  /** Volts at the clip, 12 and 24 V. ISO 16750-2 test A, as read in public copies. ISO 7637-2:2011 level IV on 13.5 and 27 V, and the rest: from memory, as the guide says. */
  const STRESS: readonly (readonly [string, number, number])[] = [
    ['load dump', 101, 202], ['jump start', 24, 36], ['clips reversed', -14, -28], ['pulse 1', -150, -600],
    ['pulse 2a', 125.5, 139], ['pulse 2b', 10, 20], ['pulse 3a', -206.5, -273], ['pulse 3b', 163.5, 327],
  ];
  const volts = STRESS.flatMap(([, v12, v24]) => [v12, v24]);

  test('pulses at A1: every stress for 12 and 24 V, the resistors in series against a node held between -0.5 and 5.5 V', () => {
    const rows = table('stress | at the clip, V | through R4');
    expect(rows.map((row) => Number(row[1]))).toEqual(volts);
    rows.forEach(([name, , milliA, node], i) => {
      expect(name!.startsWith(STRESS[i >> 1]![0])).toBe(true);
      const divided = (volts[i]! * r6Ohm) / (topOhm + r6Ohm);
      const held = Math.max(-0.5, Math.min(5.5, divided));
      expectPrinted(milliA!, (1e3 * (volts[i]! - held)) / topOhm);
      expectPrinted(node!, held);
      // BAS70-04 carries 70 mA, 100 mA for a second; each resistor withstands 350 V
      expect(Math.abs(Number(milliA))).toBeLessThan(70);
      expect(Math.abs(volts[i]!) / 2).toBeLessThan(350);
    });
    expectPrinted(/load dump of 101 V to ([\d.]+) mA/.exec(guide)![1]!, (1e3 * (101 - 5.5)) / topOhm);
    expectPrinted(/any table below to ([\d.]+) mA/.exec(guide)![1]!, (1e3 * (600 - 0.5)) / topOhm);
    expectPrinted(/D2 costs ([\d.]+) mV/.exec(guide)![1]!, 1e3 * 100e-9 * topOhm); // leakage through the top alone: the divider's foot stays where the pin is
  });

  test('pulses at the bus pins and the gate: F2, 1 kohm, P6KE33A (31.4 to 34.7 V, 45.7 V at 13.2 A), 220 ohm', () => {
    const rows = table('stress | at the clip, V | through R24');
    expect(rows.map((row) => Number(row[1]))).toEqual(volts);
    const seconds = [0.4, 0.35, 60, 3600, 60, 60, 2e-3, 1e-3, 50e-6, 50e-6, 2, 2, 150e-9, 150e-9, 150e-9, 150e-9];
    rows.forEach(([, , milliA, node, heat, below, gate], i) => {
      const slopeOhm = (45.7 - 34.7) / 13.2;
      const nodeV = volts[i]! > 34.7 ? 34.7 + ((volts[i]! - 34.7) * slopeOhm) / (r24Ohm + slopeOhm) : Math.max(-1, volts[i]!);
      const acrossV = volts[i]! > 31.4 ? volts[i]! - 31.4 : volts[i]! < -1 ? volts[i]! + 1 : 0;
      expectPrinted(milliA!, (1e3 * acrossV) / r24Ohm);
      expectPrinted(node!, nodeV);
      expect(nodeV).toBeLessThan(40);
      expectPrinted(below!, nodeV < -0.6 ? (1e3 * (-nodeV - 0.6)) / r25Ohm : 0);
      expect(Number(below)).toBeLessThan(5);
      expectPrinted(gate!, Math.max(0, (1e3 * (nodeV - 0.6 - 10)) / gateOhm));
      const watt = acrossV ** 2 / r24Ohm;
      if (heat!.endsWith('mJ')) expectPrinted(heat!, (1e3 * watt * seconds[i]!) / 2 / Math.log(10));
      else if (heat!.endsWith('W')) expectPrinted(heat!, watt);
      else expect((watt * seconds[i]!) / 2 / Math.log(10)).toBeLessThan(1e-6);
      if (seconds[i]! >= 60) expect(watt).toBeLessThan(values('R24', 'W', drainPart)[0]!);
    });
    expectPrinted(/never passes ([\d.]+) V/.exec(guide)![1]!, 34.7 + ((327 - 34.7) * (11 / 13.2)) / (r24Ohm + 11 / 13.2));
    expectPrinted(/own diode to ([\d.]+) mA/.exec(guide)![1]!, (1e3 * (1 - 0.6)) / r25Ohm);
    const [, w12, w24] = /indefinitely: ([\d.]+) W from 12 V, ([\d.]+) W from 24 V/.exec(guide)!;
    expectPrinted(w12!, 14.4 ** 2 / r24Ohm);
    expectPrinted(w24!, 28.8 ** 2 / r24Ohm);
  });

  test('leads touched by mistake: what is above 5.5 V drives its current through the series resistor', () => {
    const rows = table('input | series, kΩ');
    expect(rows.length).toBe(6);
    for (const [input, kiloOhm, faultV, milliA, allowed] of rows) {
      expect(Number(kiloOhm) * 1e3).toBe(input!.startsWith('A0') ? r2s[0] : values('R31', 'Ω', clampPart)[0]);
      expectPrinted(milliA!, (Number(faultV) - 5.5) / Number(kiloOhm));
      expect(Number(milliA)).toBeLessThan(Number.parseFloat(allowed!));
    }
  });

  test('the bypass: gate volts from both sources, time to close, heat while it is open', () => {
    const [, v12, v6, enough] = /R10 and D3 \(([\d.]+) V at the gate, ([\d.]+) V still from a battery of 6 V; ([\d.]+) V are enough/.exec(drainPart)!;
    expectPrinted(v12!, Math.min(10, 12.6 - 0.6));
    expectPrinted(v6!, 6 - 0.6);
    expectPrinted(/R11 and D4 \(([\d.]+) V\)/.exec(drainPart)![1]!, 5 - 0.3);
    for (const gate of [v12, v6, /R11 and D4 \(([\d.]+) V\)/.exec(drainPart)![1]]) expect(Number(gate)).toBeGreaterThan(Number(enough));
    expectPrinted(/gate closes it within ([\d.]+) ms/.exec(drainPart)![1]!, (1e3 * 140e-9 * gateOhm) / (10 - 0.6 - 4.5));
    expectPrinted(/fine range closes it within ([\d.]+) ms/.exec(drainPart)![1]!, 1e3 * ((110e-6 * (5 - 2.7)) / 0.03 + (140e-9 * gateOhm) / (10 - 0.6 - 4.5)));
    expectPrinted(/While open it takes ([\d.]+) mA/.exec(drainPart)![1]!, (1e3 * (12.6 - 0.6)) / gateOhm);
    const lidKPerW = Number(/heat sink of ([\d.]+) K\/W/.exec(guide)![1]);
    for (const [currentA, shuntA, shuntW, rectifierW, lidK, shuntK] of table('current, A | through RS2')) {
      const inShunt = Math.min(Number(currentA), 0.9 / fineOhm);
      expectPrinted(shuntA!, inShunt);
      expectPrinted(shuntW!, inShunt ** 2 * fineOhm);
      expectPrinted(rectifierW!, (Number(currentA) - inShunt) * 0.9);
      const warmK = (inShunt ** 2 * fineOhm + (Number(currentA) - inShunt) * 0.9) * lidKPerW;
      expectPrinted(lidK!, warmK);
      expectPrinted(shuntK!, warmK + inShunt ** 2 * fineOhm * 3); // PBV: 3 K/W to its base
      expect(Number(lidK)).toBeLessThan(30); // at 35 °C of air a touch of the lid does no harm (ISO 13732-1: metal, 65 °C for a second; from memory)
      expect(Number(shuntK) + 60).toBeLessThan(125); // PBV: 125 °C
      expect(inShunt ** 2 * fineOhm).toBeLessThan(10); // PBV on a heat sink
    }
    const [, closedMv, openMv] = /meter shows ([\d.]+) mV or less\. \*\*([\d.]+) mV mean/.exec(drainPart)!;
    expectPrinted(closedMv!, (21 / 12) * 2.8);
    expectPrinted(openMv!, (21 / 12) * fineOhm * 1e3);
    expectPrinted(/D1 costs ([\d.]+) µA/.exec(drainPart)![1]!, 0.1 * (Math.exp(0.08192 / 0.026) - 1));
  });

  test('the jumper: what stays in the logger beside it (IEC 60228 class 5 copper, 10 A blade fuse 7.7 mohm)', () => {
    const logger = coarseOhm + 2.8e-3 + 7.7e-3 + 2 * 0.5 * 7.98e-3 + 2 * 0.5e-3;
    const jumper = 0.6 * 1.21e-3 + 0.5e-3 + 2 * 0.5e-3;
    const share = jumper / (jumper + logger);
    const [, percent, loggerM, jumperM, fanA, fuseA] = /carries ([\d.]+) % \(computed: ([\d.]+) mΩ against ([\d.]+) mΩ\): a fan of 40 A is ([\d.]+) A in it, and its fuse would open only from about (\d+) A/.exec(drainPart)!;
    expectPrinted(percent!, share * 100);
    expectPrinted(loggerM!, logger * 1e3);
    expectPrinted(jumperM!, jumper * 1e3);
    expectPrinted(fanA!, 40 * share);
    expect(Number(fuseA)).toBeLessThanOrEqual(10 / share);
    expect(Number(fuseA)).toBeGreaterThan(10 / share - 10);
    expect(Number(/reading times (\d+) shows/.exec(drainPart)![1])).toBe(Math.round(1 / share));
  });

  test('budgets: each line, the sum, and the root of squares', () => {
    const referenceCounts = (1.1 / 5) * 1024;
    const busShare = (r24Ohm + r25Ohm) / (830e3 / 2 + r24Ohm + r25Ohm);
    const expected: Readonly<Record<string, readonly number[]>> = {
      'volts of the motor logger at 12.6 V | share': [50 / referenceCounts, 50 / referenceCounts, 0.5, (50 * (5 / 1024) * (topOhm + r6Ohm)) / r6Ohm / 12.6, (100 * 100e-9 * topOhm) / 12.6],
      '50 mA on the fine shunt | mA': [10e-3 / fineOhm, 50 * 0.01, 50 * 0.001, 1e3 * 1e-7 * (Math.exp((0.05 * fineOhm) / 0.026) - 1)],
      'bus reading of the drain logger at 12.6 V | mV': [12_600 * busShare, 7.5, 12.6],
    };
    for (const [head, lines] of Object.entries(expected)) {
      const rows = table(head);
      expect(rows.length).toBe(lines.length + 2);
      lines.forEach((value, i) => expectPrinted(rows[i]![1]!, value));
      expectPrinted(rows.at(-2)![1]!, lines.reduce((sum, value) => sum + value, 0));
      expectPrinted(rows.at(-1)![1]!, Math.hypot(...lines));
    }
    expectPrinted(/bus reading is ([\d.]+) % low/.exec(guide)![1]!, 100 * busShare);
  });
});
