import type { Random } from './random.ts';

/** One channel of the logger's converter, as its hello line tells it: value = (count - zero) x scale. */
export interface ChannelSpec {
  readonly name: 'current' | 'voltage';
  readonly unit: 'A' | 'V';
  readonly scale: number;
  readonly zero: number;
  readonly range: readonly [number, number];
}

/** A clamp or shunt with its converter, with the faults of cheap ones. */
export interface SensorParameters {
  /** measures from -range to +range */
  readonly range: number;
  /** steps of the converter over the whole range, as a power of two */
  readonly bits: number;
  /** standard deviation of the noise, in the unit of the channel */
  readonly noise: number;
  /** zero error: a core that kept some field */
  readonly offset: number;
  /** change of the zero error */
  readonly driftPerHour: number;
  /** amplitude of mains pick-up, 50 Hz */
  readonly hum: number;
  /** -3 dB point of the sensor, Hz; null = faster than the samples */
  readonly bandwidthHz: number | null;
}

const MAINS_HZ = 50;

/** Turns the true value into what the logger reports. One call a sample, in order. */
export class Sensor {
  readonly channel: ChannelSpec;
  readonly #parameters: SensorParameters;
  readonly #random: Random;
  readonly #follow: number;
  readonly #lowest: number;
  readonly #highest: number;
  readonly #humPhase: number;
  #heldValue = Number.NaN;

  constructor(name: 'current' | 'voltage', parameters: SensorParameters, rateHz: number, random: Random) {
    this.#parameters = parameters;
    this.#random = random;
    this.channel = channelOf(name, parameters);
    this.#lowest = -(2 ** (parameters.bits - 1));
    this.#highest = 2 ** (parameters.bits - 1) - 1;
    this.#follow = parameters.bandwidthHz === null ? 1 : 1 - Math.exp((-2 * Math.PI * parameters.bandwidthHz) / rateHz);
    this.#humPhase = random.between(0, 2 * Math.PI);
  }

  measure(trueValue: number, timeS: number): number {
    const p = this.#parameters;
    this.#heldValue = Number.isNaN(this.#heldValue) ? trueValue : this.#heldValue + this.#follow * (trueValue - this.#heldValue);
    let value = this.#heldValue + p.offset + (p.driftPerHour * timeS) / 3600 + p.noise * this.#random.gaussian();
    if (p.hum !== 0) value += p.hum * Math.sin(2 * Math.PI * MAINS_HZ * timeS + this.#humPhase);
    const count = Math.min(this.#highest, Math.max(this.#lowest, Math.round(value / this.channel.scale)));
    // + 0 turns a negative zero into zero
    return Math.fround(count * this.channel.scale + 0);
  }
}

/** What a logger with these sensors says of its channels, the current first. */
export function channelsOf({ current, voltage }: { readonly current: SensorParameters; readonly voltage: SensorParameters | null }): ChannelSpec[] {
  return [channelOf('current', current), ...(voltage === null ? [] : [channelOf('voltage', voltage)])];
}

/** Counts of a 16-bit converter are signed; shorter ones count from 0 with zero current in the middle. */
function channelOf(name: 'current' | 'voltage', parameters: SensorParameters): ChannelSpec {
  return {
    name,
    unit: name === 'current' ? 'A' : 'V',
    scale: (2 * parameters.range) / 2 ** parameters.bits,
    zero: parameters.bits >= 16 ? 0 : 2 ** (parameters.bits - 1),
    range: [-parameters.range, parameters.range],
  };
}
