import type { AVRTWI, CPU, TWIEventHandler } from 'avr8js';
import { CLOCK_HZ } from './chip.ts';
import type { Chip } from './chip.ts';

/** Conversion times by code, s (TI SBOS547, configuration register; from memory, as noted in the reference numbers). */
const CONVERSION_S = [140e-6, 204e-6, 332e-6, 588e-6, 1.1e-3, 2.116e-3, 4.156e-3, 8.244e-3];
const REGISTER = { config: 0, shunt: 1, bus: 2, power: 3, current: 4, calibration: 5, maker: 0xfe, die: 0xff };

const clampInt16 = (value: number): number => Math.max(-32768, Math.min(32767, value));

/**
 * The 16-bit shunt and bus monitor of TI SBOS547 as the logger uses it: one conversion each time the configuration is written with
 * the mode "shunt and bus, once". It averages its input over the conversion, as the real converter does.
 */
export class MonitorModel {
  /** volts across the shunt, and bus volts, at a moment */
  shuntV: (timeS: number) => number;
  busV: (timeS: number) => number;
  present = true;
  makerId = 0x5449;
  readonly registers = new Map<number, number>();
  /** times at which conversions of the shunt began */
  readonly conversionsS: number[] = [];

  constructor(shuntV: (timeS: number) => number, busV: (timeS: number) => number) {
    this.shuntV = shuntV;
    this.busV = busV;
    this.powerUp();
  }

  powerUp(): void {
    this.registers.clear();
    this.registers.set(REGISTER.config, 0x4127);
    this.registers.set(REGISTER.die, 0x2260);
  }

  read(register: number): number {
    return register === REGISTER.maker ? this.makerId : (this.registers.get(register) ?? 0) & 0xffff;
  }

  write(register: number, value: number, cpu: CPU, nowS: () => number): void {
    this.registers.set(register, value);
    if (register !== REGISTER.config || (value & 7) !== 3) return;
    const shuntS = CONVERSION_S[(value >> 3) & 7]!;
    const busS = CONVERSION_S[(value >> 6) & 7]!;
    const startS = nowS();
    this.conversionsS.push(startS);
    cpu.addClockEvent(() => {
      if (!this.present) return;
      this.setInputs(mean(this.shuntV, startS, shuntS), mean(this.busV, startS + shuntS, busS));
    }, Math.round((shuntS + busS) * CLOCK_HZ));
  }

  /** Shunt step 2.5 uV, bus step 1.25 mV; current = shunt x calibration / 2048, power = current x bus / 20 000 (SBOS547, p. 15-16). */
  setInputs(shuntV: number, busV: number): void {
    const shunt = clampInt16(Math.round(shuntV / 2.5e-6));
    const bus = Math.max(0, Math.min(32767, Math.round(busV / 1.25e-3)));
    const current = Math.trunc((shunt * this.read(REGISTER.calibration)) / 2048);
    this.registers.set(REGISTER.shunt, shunt);
    this.registers.set(REGISTER.bus, bus);
    this.registers.set(REGISTER.current, current);
    this.registers.set(REGISTER.power, Math.trunc((current * bus) / 20_000));
  }
}

function mean(value: (timeS: number) => number, startS: number, durationS: number): number {
  const points = 8;
  let sum = 0;
  for (let i = 0; i < points; i++) sum += value(startS + ((i + 0.5) / points) * durationS);
  return sum / points;
}

export interface BusFaults {
  /** a chip or a short holds the clock line: nothing ever completes */
  clockHeld: boolean;
}

/** The I2C bus between the chip and its monitors, taking the time that its bits take at the speed the program has set. */
export function monitorBus(monitors: Readonly<Record<number, MonitorModel>>, faults: BusFaults = { clockHeld: false }): (chip: Chip, twi: AVRTWI) => TWIEventHandler {
  return (chip, twi) => {
    let monitor: MonitorModel | undefined;
    let written: number[] = [];
    let pointer = 0;
    let readAt = 0;
    const { cpu } = chip;
    const after = (bits: number, complete: () => void): void => {
      if (!faults.clockHeld) cpu.addClockEvent(complete, Math.round((bits * CLOCK_HZ) / twi.sclFrequency));
    };
    const finishWrite = (): void => {
      if (written.length > 0) pointer = written[0]!;
      if (written.length === 3) monitor?.write(pointer, (written[1]! << 8) | written[2]!, cpu, () => chip.timeS);
      written = [];
    };
    return {
      start() {
        finishWrite();
        after(1, () => twi.completeStart());
      },
      stop() {
        finishWrite();
        monitor = undefined;
        after(1, () => twi.completeStop());
      },
      connectToSlave(address) {
        const found = monitors[address];
        monitor = found?.present ? found : undefined;
        readAt = 0;
        after(9, () => twi.completeConnect(monitor !== undefined));
      },
      writeByte(value) {
        written.push(value);
        after(9, () => twi.completeWrite(monitor?.present ?? false));
      },
      readByte() {
        const value = monitor?.present ? monitor.read(pointer) : 0xffff;
        after(9, () => twi.completeRead(readAt++ === 0 ? value >> 8 : value & 0xff));
      },
    };
  };
}
