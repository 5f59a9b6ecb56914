import * as f from './figures.ts';
import { BOARD_PARTS, CLAMP_PARTS, DRAIN_PARTS, LEADS, MOTOR_PARTS } from './parts.ts';
import { digits, percent, table } from './print.ts';
import { BUS_LIMITS, busNode, busPinBelowGroundA, clampedPin, gateCurrentA, MISTAKES, STRESSES, voltagePin } from './stresses.ts';
import { CLAMP, DRAIN, HALL, MONITOR, MOTOR, SPEEDS } from './values.ts';

const PARTS_HEAD = ['reference', 'quantity', 'type', 'why'];
const volts = (value: number): string => (Math.abs(value) < 10 && !Number.isInteger(value) ? digits(value, 2) : String(Number(value.toPrecision(4))));
const milliA = (value: number): string => digits(value * 1e3);

/** A sensor's figures at a pin: one count, clip, as the program prints them. */
const pinRange = (vPerA: number): [count: string, clips: string] => [digits(f.COUNT_V / vPerA), digits((f.CLIP_COUNTS * f.COUNT_V) / vPerA)];

/** One row for each stress and vehicle. */
function stressRows(cells: (sourceV: number, durationS: number, shape: 'decay' | 'steady') => string[]): string[][] {
  return STRESSES.flatMap((stress) =>
    ([12, 24] as const).map((system, i) => {
      const sourceV = system === 12 ? stress.v12 : stress.v24;
      return [`${stress.name}, ${system} V`, volts(sourceV), ...cells(sourceV, stress.durationS[i]!, stress.shape)];
    }),
  );
}

const heat = (value: number, shape: 'decay' | 'steady'): string => (shape === 'steady' ? `${digits(value, 2)} W` : value < 1e-6 ? '0' : `${digits(value * 1e3, 2)} mJ`);

function budget(rows: readonly f.Contribution[], print: (value: number) => string): string[][] {
  const root = Math.sqrt(rows.reduce((sum, row) => sum + row.value ** 2, 0));
  const all = rows.reduce((sum, row) => sum + row.value, 0);
  return [...rows.map((row) => [row.what, print(row.value), row.from]), ['all at once, worst', print(all), 'sum'], ['together, as they usually fall', print(root), 'root of squares']];
}

export const TABLES: Readonly<Record<string, () => string>> = {
  boardParts: () => table(PARTS_HEAD, BOARD_PARTS),
  motorParts: () => table(PARTS_HEAD, MOTOR_PARTS),
  clampParts: () => table(PARTS_HEAD, CLAMP_PARTS),
  drainParts: () => table(PARTS_HEAD, DRAIN_PARTS),
  leads: () => table(['lead', 'quantity', 'wire', 'why'], LEADS),

  sensors: () =>
    table(
      ['sensor', 'command', 'mV/A at the pin', 'one count, A', 'clips at, ± A', 'use'],
      [
        ...HALL.map((row) => [`Hall part ${row.part}`, `\`sensor ${row.vPerA * 1e3}\``, String(row.vPerA * 1e3), ...pinRange(row.vPerA), row.use]),
        ...CLAMP.rows.map(({ clampVPerA, gain }) => {
          const vPerA = clampVPerA * f.clampGain(gain);
          return [`clamp ${clampVPerA * 1e3} mV/A, ${CLAMP.gains[gain]!.name}`, `\`clamp ${digits(vPerA * 1e3, 4).replace(/\.0+$/, '')}\``, String(Number((vPerA * 1e3).toFixed(6))), ...pinRange(vPerA), 'as far as the clamp itself reaches'];
        }),
      ],
    ),

  clampNoise: () =>
    table(
      ['clamp, switch', 'range, ± A', 'corner, Hz', 'front end, mA rms', 'one count as noise, mA rms', 'largest offset, A', 'clamp of 100 Ω reads low by'],
      CLAMP.rows.map(({ clampVPerA, gain }) => {
        const vPerA = clampVPerA * f.clampGain(gain);
        return [
          `${clampVPerA * 1e3} mV/A, ${CLAMP.gains[gain]!.name}`,
          pinRange(vPerA)[1],
          digits(f.cornerHz(MOTOR.r2Ohm, MOTOR.c3F)),
          digits((f.clampNoiseV(gain) / vPerA) * 1e3, 2),
          digits((f.stepNoise(f.COUNT_V) / vPerA) * 1e3, 2),
          digits((CLAMP.offsetV * (1 + f.clampGain(gain))) / vPerA, 2),
          percent(f.clampLoadError(gain)),
        ];
      }),
    ),

  shunts: () =>
    table(
      ['shunt, mΩ', 'one step, A', 'full scale, ± A', 'loss at full scale, W', 'offset of 10 µV, A'],
      [DRAIN.coarseOhm, DRAIN.fineOhm].map((ohm) => [
        String(ohm * 1e3),
        digits(MONITOR.shuntStepV / ohm),
        digits(MONITOR.shuntFullV / ohm, 4),
        digits(MONITOR.shuntFullV ** 2 / ohm),
        digits(MONITOR.offsetV / ohm),
      ]),
    ),

  filters: () =>
    table(
      ['where', 'R, kΩ', 'C, nF', 'rate, S/s', 'corner, Hz', 'at half the rate, dB'],
      [
        ...SPEEDS.flatMap((speed) => [
          [`A0, ${speed.baud}`, speed.r2Ohm / 1e3, MOTOR.c3F * 1e9, speed.rateHz, speed.r2Ohm, MOTOR.c3F] as const,
          [`A1, ${speed.baud}`, Number((f.DIVIDER_OHM / 1e3).toFixed(2)), speed.c4F * 1e9, speed.rateHz, f.DIVIDER_OHM, speed.c4F] as const,
        ]),
        ['monitor, both leads', f.SENSE_OHM / 1e3, DRAIN.c10F * 1e9, 1000, f.SENSE_OHM, DRAIN.c10F] as const,
      ].map(([where, kiloOhm, nanoF, rateHz, ohm, farad]) => {
        const corner = f.cornerHz(ohm, farad);
        return [where, String(kiloOhm), String(Number(nanoF.toFixed(3))), String(rateHz), digits(corner), f.leftDb(corner, rateHz / 2).toFixed(1)];
      }),
    ),

  filtersApart: () => table(['speed', 'volts later than current by the filters, µs'], SPEEDS.map((speed) => [speed.baud, digits(f.filterApartS(speed) * 1e6, 2)])),

  pulsesVoltage: () =>
    table(
      ['stress', 'at the clip, V', 'through R4 and R5, mA', 'node of D2, V', 'heat in R4 and R5'],
      stressRows((sourceV, durationS, shape) => {
        const pin = voltagePin(sourceV, durationS, shape);
        return [milliA(pin.currentA), volts(pin.nodeV), heat(pin.heat, shape)];
      }),
    ),

  pulsesBus: () =>
    table(
      ['stress', 'at the clip, V', 'through R24, mA', 'bus node, V', 'heat in R24', 'into a bus pin below ground, mA', 'through R10 to the gate, mA'],
      stressRows((sourceV, durationS, shape) => {
        const node = busNode(sourceV, durationS, shape);
        return [milliA(node.currentA), volts(node.nodeV), heat(node.heat, shape), milliA(busPinBelowGroundA(node.nodeV)), milliA(gateCurrentA(node.nodeV))];
      }),
    ),

  mistakes: () =>
    table(
      ['input', 'series, kΩ', 'touched to, V', 'into the clamp, mA', 'allowed, mA'],
      MISTAKES.flatMap(({ input, ohm, limitA }) =>
        [14.4, 28.8, 101, 202]
          .filter((faultV) => limitA !== null || faultV < 100)
          .map((faultV) => [input, String(ohm / 1e3), String(faultV), milliA(clampedPin(faultV, ohm, 0, 'steady').currentA), limitA === null ? '70, BAS70-04' : `${limitA * 1e3}, MCP6002`]),
      ),
    ),

  openBypass: () =>
    table(
      ['current, A', 'through RS2, A', 'RS2, W', 'D1, W', 'lid warmer by, K', 'RS2 warmer by, K'],
      [1, 5, DRAIN.f1A].map((currentA) => {
        const open = f.openBypass(currentA);
        const warm = f.openBypassWarmingK(currentA);
        return [String(currentA), digits(open.shuntA, 2), digits(open.shuntW, 2), open.rectifierW < 0.005 ? '0' : digits(open.rectifierW, 2), digits(warm.lid, 2), digits(warm.shunt, 2)];
      }),
    ),

  voltsBudget: () => table(['volts of the motor logger at 12.6 V', 'share', 'from'], budget(f.VOLTS_BUDGET, (value) => percent(value))),
  drainBudget: () => table(['50 mA on the fine shunt', 'mA', 'from'], budget(f.DRAIN_BUDGET, (value) => digits(value * 1e3, 2))),
  busBudget: () => table(['bus reading of the drain logger at 12.6 V', 'mV', 'from'], budget(f.BUS_BUDGET, (value) => digits(value * 1e3, 2))),
};

/** Figures that stand in the text. */
export const FIGURES: Readonly<Record<string, () => string>> = {
  dividerRatio: () => digits(f.DIVIDER, 4),
  voltageFull: () => f.VOLTAGE_FULL_V.toFixed(1),
  voltageCountMv: () => digits(f.VOLTAGE_COUNT_V * 1e3),
  leakMv: () => digits(f.LEAK_ERROR_V * 1e3, 2),
  loadDump12Ma: () => milliA(voltagePin(101, 0.4, 'decay').currentA),
  worstVoltageMa: () => milliA(Math.max(...STRESSES.flatMap((s) => [Math.abs(voltagePin(s.v12, 1, s.shape).currentA), Math.abs(voltagePin(s.v24, 1, s.shape).currentA)]))),
  busHighest: () => volts(Math.max(...STRESSES.flatMap((s) => [busNode(s.v12, 1, s.shape).nodeV, busNode(s.v24, 1, s.shape).nodeV]))),
  busLimit: () => String(BUS_LIMITS.highestV),
  busPinMa: () => milliA(busPinBelowGroundA(-DRAIN.suppressor.forwardV)),
  busPinLimitMa: () => String(BUS_LIMITS.pinA * 1e3),
  shortedW12: () => digits(14.4 ** 2 / DRAIN.r24Ohm, 2),
  shortedW24: () => digits(28.8 ** 2 / DRAIN.r24Ohm, 2),
  r24W: () => String(DRAIN.r24W),
  suppressorLow: () => String(DRAIN.suppressor.lowestV),
  busErrorPercent: () => percent(f.BUS_SERIES_ERROR),
  busErrorMv: () => digits(12.6 * f.BUS_SERIES_ERROR * 1e3, 2),
  gateUsb: () => digits(f.GATE_FROM_USB_V, 2),
  gateBattery6: () => digits(f.gateFromBatteryV(6), 2),
  gateBattery12: () => digits(f.gateFromBatteryV(12.6), 2),
  gateFull: () => String(DRAIN.bypassFullV),
  closingMs: () => digits(f.CLOSING_S * 1e3, 1),
  usbClosingMs: () => digits(f.USB_CLOSING_S * 1e3, 1),
  unpluggedV: () => digits(Math.min(f.unpluggedV(0), f.unpluggedV(1)), 2),
  openBatteryMa: () => digits(f.OPEN_BATTERY_A * 1e3, 2),
  bypassW: () => digits(DRAIN.f1A ** 2 * DRAIN.bypassOhm, 2),
  coarseW: () => digits(DRAIN.f1A ** 2 * DRAIN.coarseOhm, 1),
  rectifierLeakUa: () => digits(f.RECTIFIER_LEAK_A * 1e6, 2),
  throughMohm: () => digits(f.THROUGH_OHM * 1e3, 2),
  jumperMohm: () => digits(f.JUMPER_OHM * 1e3, 2),
  jumperShare: () => percent(f.JUMPER_SHARE),
  jumperFactor: () => String(Math.round(1 / f.JUMPER_SHARE)),
  jumperFuseA: () => String(Math.floor(DRAIN.f1A / f.JUMPER_SHARE / 10) * 10),
  benchClosedMv: () => digits(f.BENCH_A * DRAIN.bypassOhm * 1e3, 2),
  benchOpenMv: () => digits(f.BENCH_A * DRAIN.fineOhm * 1e3, 3),
  fan40A: () => digits(40 * f.JUMPER_SHARE, 2),
  settleMs: () => digits(9 * f.SENSE_OHM * DRAIN.c10F * 1e3, 2),
  senseTauMs: () => digits(f.SENSE_OHM * DRAIN.c10F * 1e3, 2),
  clampOffsetShare: () => percent(Math.max(f.clampOffsetShare(0), f.clampOffsetShare(1))),
  noise5A: () => digits(0.021 / HALL[0]!.vPerA, 3),
  drift10: () => digits((0.00026 * 10) / HALL[0]!.vPerA * 1e3, 2),
};
