import type { ClockReport } from './logger.ts';

/**
 * Ties a counter that rises evenly (the logger's clock in seconds, or the number of lines sent) to the computer's clock, from nothing
 * but the arrival times of lines. A line never arrives before it was sent but often late (USB hands lines over in bunches, the computer
 * pauses), so the truth lies along the lower edge of the arrivals: of every stretch of time only the least late line is kept, and a
 * straight line through those gives rate and offset. The running clock is then steered to that line slowly, by its rate only, so times
 * never jump and samples stay evenly spaced. At 5 ms of lateness the rate is good to about 100 ppm after half a minute.
 */

/**
 * Stretches of which the least late line is kept; their length is doubled whenever the memory is full. With 120 of 8 s the fit looks back a
 * quarter of an hour: long against lateness, short against a warming resonator.
 */
const STRETCHES = { firstS: 0.25, longestS: 8, most: 120 } as const;
/** An error of the offset is steered out over this time, s. */
const STEER_OVER_S = 5;
/** Fewer points, or a shorter look back than this, and the fit is not used to steer. */
const LEAST_FIT = { points: 5, spanS: 2 } as const;

interface TieOptions {
  /** seconds of the computer's clock per count, as declared or first measured */
  readonly slope: number;
  /** how far the true slope may be from that, as a part: 0.02 = 2 % */
  readonly tolerance: number;
  /** how far the running clock may be put off the fitted slope to steer out an error of the offset; default the tolerance */
  readonly steerLimit?: number;
}

export class HostTie {
  private readonly firstSlope: number;
  private readonly tolerance: number;
  private readonly steerLimit: number;
  /** seconds per count of the running clock, and of the last fit */
  private slope: number;
  private fitSlope: number;
  private fitUncertainty = Infinity;
  private anchorX = 0;
  private anchorS = 0;
  private stretchS: number = STRETCHES.firstS;
  private stretchEndS = -Infinity;
  private bestX = 0;
  private bestS = 0;
  private bestLateS = Infinity;
  private xs: number[] = [];
  private arrivals: number[] = [];
  private lateCount = 0;
  private lateMean = 0;
  private lateSquares = 0;

  constructor(options: TieOptions) {
    this.firstSlope = options.slope;
    this.tolerance = options.tolerance;
    this.steerLimit = options.steerLimit ?? options.tolerance;
    this.slope = options.slope;
    this.fitSlope = options.slope;
  }

  /** Starts the clock: count `x` is at `atS`. What was learnt of the rate is kept, what was learnt of the offset is not. */
  anchor(x: number, atS: number): void {
    this.anchorX = x;
    this.anchorS = atS;
    this.slope = this.fitSlope;
    this.stretchS = STRETCHES.firstS;
    this.stretchEndS = -Infinity;
    this.bestLateS = Infinity;
    this.xs = [];
    this.arrivals = [];
  }

  /** The time of count `x`, s. */
  at(x: number): number {
    return this.anchorS + (x - this.anchorX) * this.slope;
  }

  /** Seconds per count now. */
  get secondsPerCount(): number {
    return this.slope;
  }

  /** Tells the tie that what was sent at count `x` arrived at `arrivalS`. Cost O(1), now and then O(120). */
  observe(x: number, arrivalS: number): void {
    const lateS = arrivalS - this.at(x);
    this.noteLateness(lateS);
    if (arrivalS >= this.stretchEndS) {
      if (this.bestLateS !== Infinity) this.closeStretch(x);
      this.stretchEndS = arrivalS + this.stretchS;
      this.bestLateS = Infinity;
    }
    const stillLateS = arrivalS - this.at(x);
    if (stillLateS < this.bestLateS) {
      this.bestLateS = stillLateS;
      this.bestX = x;
      this.bestS = arrivalS;
    }
  }

  /** What is known of the rate and of the lateness; null until the lines of two seconds have been seen. */
  report(): Omit<ClockReport, 'rateHz'> | null {
    if (this.fitUncertainty === Infinity) return null;
    return {
      driftPpm: (1 - this.fitSlope / this.firstSlope) * 1e6,
      driftUncertaintyPpm: (this.fitUncertainty / this.firstSlope) * 1e6,
      jitterS: this.lateCount < 2 ? 0 : Math.sqrt(this.lateSquares / this.lateCount),
    };
  }

  private closeStretch(nowX: number): void {
    if (this.xs.length >= STRETCHES.most) this.forgetSome();
    this.xs.push(this.bestX);
    this.arrivals.push(this.bestS);
    const count = this.xs.length;
    if (count < LEAST_FIT.points || this.arrivals[count - 1] - this.arrivals[0] < LEAST_FIT.spanS) return;
    const fit = fitLowerEdge(this.xs, this.arrivals);
    const low = this.firstSlope * (1 - this.tolerance);
    const high = this.firstSlope * (1 + this.tolerance);
    if (!(fit.slope > low && fit.slope < high)) return;
    this.fitSlope = fit.slope;
    this.fitUncertainty = fit.slopeUncertainty;
    // re-anchor at the present so that the change of rate moves no time already given out
    this.anchorS = this.at(nowX);
    this.anchorX = nowX;
    const errorS = fit.offset + fit.slope * (nowX - fit.originX) - this.anchorS;
    const steer = Math.max(-this.steerLimit, Math.min(this.steerLimit, errorS / STEER_OVER_S));
    this.slope = fit.slope * (1 + steer);
  }

  /** Full: of each pair of stretches the less late line stays; at the longest stretch the oldest goes. */
  private forgetSome(): void {
    if (this.stretchS >= STRETCHES.longestS) {
      this.xs.shift();
      this.arrivals.shift();
      return;
    }
    const xs: number[] = [];
    const arrivals: number[] = [];
    for (let i = 0; i + 1 < this.xs.length; i += 2) {
      const earlier = this.arrivals[i] - this.xs[i] * this.fitSlope <= this.arrivals[i + 1] - this.xs[i + 1] * this.fitSlope ? i : i + 1;
      xs.push(this.xs[earlier]);
      arrivals.push(this.arrivals[earlier]);
    }
    this.xs = xs;
    this.arrivals = arrivals;
    this.stretchS *= 2;
  }

  /** Running mean and spread with a memory of about the last thousand lines (Welford's update, weight held at 1/1000). */
  private noteLateness(lateS: number): void {
    if (this.lateCount < 1000) this.lateCount += 1;
    else this.lateSquares *= 1 - 1 / this.lateCount;
    const fromMean = lateS - this.lateMean;
    this.lateMean += fromMean / this.lateCount;
    this.lateSquares += fromMean * (lateS - this.lateMean);
  }
}

interface EdgeFit {
  originX: number;
  offset: number;
  slope: number;
  /** 95 % half-width of the slope: 1.96 standard errors from the scatter of the points kept */
  slopeUncertainty: number;
}

/** Least squares through the least late lines; those more than twice the scatter above it were all late and are left out of a second pass: a quarter of them at most, since 4 k s² ≤ (n - 2) s². */
function fitLowerEdge(xs: readonly number[], arrivals: readonly number[]): EdgeFit {
  const first = leastSquares(xs, arrivals, null, Infinity);
  return leastSquares(xs, arrivals, first, 2 * first.scatter + 1e-9);
}

function leastSquares(xs: readonly number[], ys: readonly number[], before: (EdgeFit & { scatter: number }) | null, aboveS: number): EdgeFit & { scatter: number } {
  const originX = xs[xs.length - 1];
  const originY = ys[ys.length - 1];
  let n = 0;
  let sumX = 0;
  let sumY = 0;
  let sumXX = 0;
  let sumXY = 0;
  let sumYY = 0;
  for (let i = 0; i < xs.length; i += 1) {
    if (before !== null && ys[i] - (before.offset + before.slope * (xs[i] - before.originX)) > aboveS) continue;
    const x = xs[i] - originX;
    const y = ys[i] - originY;
    n += 1;
    sumX += x;
    sumY += y;
    sumXX += x * x;
    sumXY += x * y;
    sumYY += y * y;
  }
  const spreadX = sumXX - (sumX * sumX) / n;
  const cross = sumXY - (sumX * sumY) / n;
  const slope = cross / spreadX;
  const offset = originY + (sumY - slope * sumX) / n;
  const rest = Math.max(0, sumYY - (sumY * sumY) / n - slope * cross);
  const scatter = Math.sqrt(rest / (n - 2));
  return { originX, offset, slope, slopeUncertainty: (1.96 * scatter) / Math.sqrt(spreadX), scatter };
}
