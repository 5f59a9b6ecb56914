import { MOST_KEPT } from '../settings.ts';
import type { SampleBlock } from '../../../trace.ts';

/** Mean voltage over equal stretches of time, for questions of minutes: is it being charged, does it sag as the current falls? */
export interface Voltage {
  readonly widthS: number;
  readonly startS: Float64Array;
  readonly meanV: Float64Array;
}

/** Sums the voltage channel up as the samples come. When the table is full its cells double; how the samples were cut into blocks makes no difference. */
export class VoltageTrack {
  private widthS = 1;
  private length = 0;
  private readonly key = new Float64Array(MOST_KEPT);
  private readonly sumV = new Float64Array(MOST_KEPT);
  private readonly count = new Float64Array(MOST_KEPT);

  push({ timeS, voltageV }: SampleBlock): void {
    if (voltageV === null) return;
    for (let i = 0; i < timeS.length; i++) {
      const volts = voltageV[i];
      if (!Number.isFinite(volts)) continue;
      let key = Math.floor(timeS[i] / this.widthS);
      if (this.length === 0 || this.key[this.length - 1] !== key) {
        while (this.length === MOST_KEPT) this.halve();
        key = Math.floor(timeS[i] / this.widthS);
        if (this.length === 0 || this.key[this.length - 1] !== key) {
          this.key[this.length] = key;
          this.sumV[this.length] = 0;
          this.count[this.length++] = 0;
        }
      }
      this.sumV[this.length - 1] += volts;
      this.count[this.length - 1]++;
    }
  }

  /** null when the logger has no voltage channel */
  read(): Voltage | null {
    if (this.length === 0) return null;
    const startS = new Float64Array(this.length);
    const meanV = new Float64Array(this.length);
    for (let i = 0; i < this.length; i++) {
      startS[i] = this.key[i] * this.widthS;
      meanV[i] = this.sumV[i] / this.count[i];
    }
    return { widthS: this.widthS, startS, meanV };
  }

  private halve(): void {
    this.widthS *= 2;
    let kept = -1;
    for (let i = 0; i < this.length; i++) {
      const key = Math.floor(this.key[i] / 2);
      if (kept < 0 || this.key[kept] !== key) {
        kept++;
        this.key[kept] = key;
        this.sumV[kept] = this.sumV[i];
        this.count[kept] = this.count[i];
      } else {
        this.sumV[kept] += this.sumV[i];
        this.count[kept] += this.count[i];
      }
    }
    this.length = kept + 1;
  }
}
