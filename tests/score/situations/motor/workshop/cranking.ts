import type { Built } from './kit.ts';
import type { ShaftLoad } from './commutated.ts';

/** starter over crankshaft: pinion and planetary gear together */
const GEAR = 40;

/**
 * A four-stroke engine at the starter's shaft. Each compression is a gas spring (adiabatic, the work given back after top dead centre
 * but for its losses); once the engine fires, the freewheel lets it go ahead and the starter turns by itself.
 */
export class CrankedEngine {
  private readonly built: Built;
  private readonly cylinders: number;
  private readonly swing: number;
  private readonly firesS: number;

  constructor(built: Built, cylinders: number, swing: number, firesS: number) {
    this.built = built;
    this.cylinders = cylinders;
    this.swing = swing;
    this.firesS = firesS;
  }

  readonly load: ShaftLoad = (angle, _speed, timeS) => {
    if (timeS >= this.firesS) return { activeNm: 0, movingNm: 0, restNm: 0 };
    const { loadNm } = this.built;
    const place = ((angle / GEAR) * this.cylinders) / (4 * Math.PI);
    const beforeTop = 2 * (place - Math.floor(place)) - 1;
    // steep towards the top, as gas is: the cube of the way there
    const spring = this.swing * loadNm * (beforeTop < 0 ? 2.4 * (1 + beforeTop) ** 3 : -1.9 * (1 - beforeTop) ** 3);
    return { activeNm: spring, movingNm: 0.9 * loadNm, restNm: 1.1 * loadNm };
  };
}
