import { readFileSync } from 'node:fs';
import {
  adcConfig, ADCMuxInputType, avrInstruction, AVRADC, AVRClock, AVREEPROM, AVRIOPort, AVRTimer, AVRTWI, AVRUSART, AVRWatchdog, clockConfig, CPU, eepromConfig,
  EEPROMMemoryBackend, portBConfig, portCConfig, portDConfig, PinState, timer1Config, twiConfig, usart0Config, watchdogConfig,
} from 'avr8js';
import type { TWIEventHandler } from 'avr8js';
import { readHexImage } from './hex-image.ts';

export const CLOCK_HZ = 16_000_000;
const SLEEP_OPCODE = 0x9588;
const MCUSR = 0x54;
/** reset flags in MCUSR (ATmega328P datasheet, reset sources) */
export const RESET = { powerOn: 1, external: 2, brownOut: 4, watchdog: 8 } as const;

export interface Inputs {
  /** volts at A0 and A1, and the 5 V supply, at a moment in seconds */
  currentV: (timeS: number) => number;
  voltageV: (timeS: number) => number;
  supplyV: (timeS: number) => number;
  /** the chip's own reference of nominally 1.1 V */
  referenceV: (timeS: number) => number;
}

export interface ChipOptions {
  readonly image: 'adc' | 'monitor';
  readonly jumper?: '500k' | '115k2' | undefined;
  readonly inputs?: Partial<Inputs>;
  /** what is on the I2C bus, built anew at every power-up of the chip */
  readonly bus?: (chip: Chip, twi: AVRTWI) => TWIEventHandler;
}

/**
 * An ATmega328P at 16 MHz running a committed image in simulated time. Everything is counted in cycles, so two runs are identical.
 * A sleeping processor is carried straight to its next event, which is what makes minutes of test time affordable.
 */
export class Chip {
  readonly inputs: Inputs;
  /** every byte sent, in order */
  onByte: (byte: number) => void;
  /** when the logger's own clock began, in simulated seconds */
  clockStartS = 0;
  /** clocks at which the converter ran, Hz, by input: 0 and 1 the pins, -1 the reference */
  readonly converterHz = new Map<number, Set<number>>();
  cpu!: CPU;
  usart!: AVRUSART;
  #twi!: AVRTWI;
  #portB!: AVRIOPort;
  #portD!: AVRIOPort;
  readonly #options: ChipOptions;
  readonly #program: Uint16Array;
  readonly #eeprom = new EEPROMMemoryBackend(1024);
  #pastCycles = 0;
  #restart: number | null = null;
  /** bytes still on the line to the chip, and those arrived but not yet read */
  #received: number[] = [];
  #buffered: number[] = [];
  #receiving = false;
  #buttonClosed = false;

  constructor(options: ChipOptions) {
    this.#options = options;
    this.inputs = { currentV: () => 2.5, voltageV: () => 0, supplyV: () => 5, referenceV: () => 1.1, ...options.inputs };
    this.onByte = () => {};
    const url = new URL(`../../../firmware-notes/reference-logger/images/logger-${options.image}.hex`, import.meta.url);
    this.#program = readHexImage(readFileSync(url, 'utf8'), 0x8000);
    this.#powerUp(RESET.powerOn);
  }

  get timeS(): number {
    return (this.#pastCycles + this.cpu.cycles) / CLOCK_HZ;
  }

  /** The circuit's bypass: only a D6 driven high opens it. In reset, in a boot loader and without power the pin is an input. */
  get bypassClosed(): boolean {
    return this.#portD.pinState(6) !== PinState.High;
  }

  get lampOn(): boolean {
    return this.#portB.pinState(5) === PinState.High;
  }

  get eeprom(): Uint8Array {
    return this.#eeprom.memory;
  }

  get twi(): AVRTWI {
    return this.#twi;
  }

  /** Notes when the program starts timer 1: the zero of the logger's own clock. */
  #watchClockStart(): void {
    const { cpu } = this;
    const setTimer = cpu.writeHooks[timer1Config.TCCRB]!;
    cpu.writeHooks[timer1Config.TCCRB] = (value, old, address, mask) => {
      this.clockStartS = this.timeS;
      return setTimer(value, old, address, mask);
    };
  }

  /** A fresh processor with the same program and EEPROM: registers cleared, RAM full of rubbish. */
  #powerUp(cause: number): void {
    if (this.cpu !== undefined) this.#pastCycles += this.cpu.cycles;
    const cpu = new CPU(this.#program, 2048);
    cpu.data.fill(0xa5, 0x100);
    cpu.data[MCUSR] = cause;
    this.cpu = cpu;
    const clock = new AVRClock(cpu, CLOCK_HZ, clockConfig);
    countInLeaps(cpu, new AVRTimer(cpu, timer1Config));
    this.#watchClockStart();
    new AVREEPROM(cpu, this.#eeprom, eepromConfig);
    this.#portB = new AVRIOPort(cpu, portBConfig);
    new AVRIOPort(cpu, portCConfig);
    this.#portD = new AVRIOPort(cpu, portDConfig);
    new AVRWatchdog(cpu, watchdogConfig, clock);
    // The simulator would only clear the program counter; a real reset clears the registers too.
    cpu.reset = () => {
      this.#restart = RESET.watchdog;
    };
    this.usart = new AVRUSART(cpu, usart0Config, CLOCK_HZ);
    this.usart.onByteTransmit = (byte) => this.onByte(byte);
    this.#buffered = [];
    this.#bufferReceiver();
    this.#twi = new AVRTWI(cpu, twiConfig, CLOCK_HZ);
    this.#letTwiBeSwitchedOff();
    if (this.#options.bus !== undefined) this.#twi.eventHandler = this.#options.bus(this, this.#twi);
    this.#attachAdc(new AVRADC(cpu, adcConfig));
    this.#receiving = false;
    this.#received = [];
    this.#portD.setPin(2, !this.#buttonClosed);
    this.#portD.setPin(4, this.#options.jumper !== '500k');
    this.#portD.setPin(5, this.#options.jumper !== '115k2');
  }

  /** 10-bit conversion of the voltage at the sample-and-hold moment, 1.5 ADC clocks after the start (datasheet, ADC timing). */
  #attachAdc(adc: AVRADC): void {
    adc.onADCRead = (input) => {
      const atS = this.timeS + (1.5 * adc.sampleCycles) / 13 / CLOCK_HZ;
      const supplyV = this.inputs.supplyV(atS);
      let volts = 0;
      if (input.type === ADCMuxInputType.Constant) volts = this.inputs.referenceV(atS);
      else if (input.type === ADCMuxInputType.SingleEnded) volts = input.channel === 0 ? this.inputs.currentV(atS) : this.inputs.voltageV(atS);
      const from = input.type === ADCMuxInputType.SingleEnded ? input.channel : -1;
      this.converterHz.set(from, (this.converterHz.get(from) ?? new Set()).add(CLOCK_HZ / adc.prescaler));
      const count = Math.min(1023, Math.max(0, Math.floor((volts / supplyV) * 1024)));
      this.cpu.addClockEvent(() => adc['completeADCRead'](count), adc.sampleCycles);
    };
  }

  /** Lets the chip be reset from outside: supply, button on the board. */
  reset(cause: number): void {
    this.#powerUp(cause);
  }

  runUntil(untilS: number): void {
    const untilCycle = Math.round(untilS * CLOCK_HZ);
    while (this.#pastCycles + this.cpu.cycles < untilCycle) {
      this.#runCycles(untilCycle - this.#pastCycles);
      if (this.#restart !== null) {
        const cause = this.#restart;
        this.#restart = null;
        this.#powerUp(cause);
      }
    }
  }

  #runCycles(end: number): void {
    const { cpu } = this;
    const { progMem } = cpu;
    const execute = avrInstruction; // a name imported under the test runner is a getter, too dear for every instruction
    while (cpu.cycles < end && this.#restart === null) {
      const asleep = progMem[cpu.pc] === SLEEP_OPCODE;
      execute(cpu);
      const waitsAt = cpu.pc;
      cpu.tick();
      while (asleep && cpu.pc === waitsAt && cpu.cycles < end && this.#restart === null) {
        const next = cpu['nextClockEvent'];
        cpu.cycles = next === null ? end : Math.max(cpu.cycles, Math.min(next.cycles, end));
        cpu.tick();
      }
    }
  }

  run(durationS: number): void {
    this.runUntil(this.timeS + durationS);
  }

  /** Bytes into the receiver, back to back at the line's own speed. */
  send(text: string | Uint8Array): void {
    for (const byte of typeof text === 'string' ? Buffer.from(text, 'latin1') : text) this.#received.push(byte);
    if (!this.#receiving) this.#receiveNext();
  }

  #receiveNext(): void {
    this.#receiving = this.#received.length > 0;
    if (!this.#receiving) return;
    this.cpu.addClockEvent(() => {
      this.#arrive(this.#received.shift()!);
      this.#receiveNext();
    }, this.usart['cyclesPerChar']);
  }

  /** Two bytes wait in the receiver's buffer; a third is lost (data sheet, receiver; the simulator alone holds only one). */
  #arrive(byte: number): void {
    if (this.#buffered.length < 2) this.#buffered.push(byte);
    if (this.#buffered.length === 1) this.usart.writeByte(byte, true);
  }

  #bufferReceiver(): void {
    const { cpu } = this;
    const readData = cpu.readHooks[usart0Config.UDR]!;
    cpu.readHooks[usart0Config.UDR] = (address) => {
      const value = readData(address);
      this.#buffered.shift();
      if (this.#buffered.length > 0) this.usart.writeByte(this.#buffered[0]!, true);
      return value;
    };
  }

  /** Clearing TWEN ends whatever the bus was doing (data sheet, TWCR); the simulator alone would wait for ever. */
  #letTwiBeSwitchedOff(): void {
    const { cpu } = this;
    const twi = this.#twi;
    const control = cpu.writeHooks[twiConfig.TWCR]!;
    cpu.writeHooks[twiConfig.TWCR] = (value, old, address, mask) => {
      if (!(value & 4)) {
        twi['busy'] = false;
        cpu.data[twiConfig.TWSR] = (cpu.data[twiConfig.TWSR]! & 3) | 0xf8;
      }
      return control(value, old, address, mask);
    };
  }

  button(closed: boolean): void {
    this.#buttonClosed = closed;
    this.#portD.setPin(2, !closed);
  }

  /** The program runs away: interrupts off and a jump to itself, as after a hit on the supply. */
  derail(): void {
    const unused = 0x3ff0;
    this.cpu.progMem[unused] = 0xcfff; // rjmp .-2
    this.cpu.data[95]! &= 0x7f;
    this.cpu.pc = unused;
  }
}

/**
 * The simulator wakes its timer at every single count, two million times a second here. Between two counts at which something happens (a compare value, the
 * end of the round) nothing can be seen of it: a program that reads the counter has it worked out at that moment. So it is woken at those alone.
 */
function countInLeaps(cpu: CPU, timer: AVRTimer): void {
  const count = timer['count'];
  const add = cpu.addClockEvent.bind(cpu);
  cpu.addClockEvent = (callback, cycles) => {
    if (callback !== count || cycles <= 0 || timer['tcntUpdated'] || timer['updateDivider']) return add(callback, cycles);
    const { tcnt, divider, ocrA, ocrB, TOP } = timer as unknown as { tcnt: number; divider: number; ocrA: number; ocrB: number; TOP: number };
    let next = TOP + 1;
    for (const at of [ocrA, ocrB, TOP]) if (at > tcnt && at < next) next = at;
    return add(callback, cycles + Math.max(0, next - tcnt - 1) * divider);
  };
  for (const address of [timer1Config.OCRA, timer1Config.OCRB]) {
    const write = cpu.writeHooks[address]!;
    cpu.writeHooks[address] = (...given) => {
      const taken = write(...given);
      cpu.updateClockEvent(count, 0);
      return taken;
    };
  }
}
