/**
 * The true current of a recording, on an even grid, built up from shapes. Each sample is the mean over its own interval, as a logger
 * with an averaging converter gives it, so that pulses shorter than a sample keep their charge.
 */
export class Wave {
  readonly durationS: number;
  readonly stepS: number;
  readonly amps: Float64Array;

  constructor(durationS: number, rateHz: number) {
    this.durationS = durationS;
    this.stepS = 1 / rateHz;
    this.amps = new Float64Array(Math.floor(durationS * rateHz));
  }

  /** a constant current in `[fromS, toS)` */
  box(fromS: number, toS: number, ampsA: number): void {
    const from = Math.max(0, fromS) / this.stepS;
    const to = Math.min(this.amps.length, toS / this.stepS);
    if (to <= from) return;
    const first = Math.floor(from);
    const last = Math.min(this.amps.length - 1, Math.ceil(to) - 1);
    if (first === last) {
      this.amps[first]! += ampsA * (to - from);
      return;
    }
    this.amps[first]! += ampsA * (first + 1 - from);
    for (let i = first + 1; i < last; i++) this.amps[i]! += ampsA;
    this.amps[last]! += ampsA * (to - last);
  }

  /** a current that jumps to `ampsA` at `fromS` and dies away with the time constant `tauS`, cut at `toS` */
  decay(fromS: number, toS: number, ampsA: number, tauS: number): void {
    const endS = Math.min(toS, fromS + 14 * tauS, this.durationS);
    const first = Math.max(0, Math.floor(fromS / this.stepS));
    for (let i = first; i < this.amps.length; i++) {
      const x0 = Math.max(0, i * this.stepS - fromS);
      const x1 = Math.min(endS, (i + 1) * this.stepS) - fromS;
      if (x1 <= x0) break;
      this.amps[i]! += ((ampsA * tauS) / this.stepS) * (Math.exp(-x0 / tauS) - Math.exp(-x1 / tauS));
    }
  }

  /** any slow shape, taken in the middle of each sample */
  shape(fromS: number, toS: number, ampsAt: (tS: number) => number): void {
    const first = Math.max(0, Math.ceil(fromS / this.stepS - 0.5));
    for (let i = first; i < this.amps.length; i++) {
      const tS = (i + 0.5) * this.stepS;
      if (tS >= toS) break;
      this.amps[i]! += ampsAt(tS);
    }
  }

  /** puts something in the place of all that was drawn: what the battery sees while another source feeds the loads */
  replace(fromS: number, toS: number, ampsAt: (tS: number) => number): void {
    const first = Math.max(0, Math.round(fromS / this.stepS));
    const last = Math.min(this.amps.length, Math.round(toS / this.stepS));
    for (let i = first; i < last; i++) this.amps[i] = ampsAt(i * this.stepS);
  }

  /** the mean over a stretch, of the true current */
  meanA(fromS: number, toS: number): number {
    const first = Math.max(0, Math.round(fromS / this.stepS));
    const last = Math.min(this.amps.length, Math.round(toS / this.stepS));
    let sum = 0;
    for (let i = first; i < last; i++) sum += this.amps[i]!;
    return last > first ? sum / (last - first) : 0;
  }
}
