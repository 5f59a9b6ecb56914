/**
 * What draws current in a parked vehicle, each as a function of time (s → A). A load may be looked at in any order of time, so
 * everything random inside one is fixed when it is made, or hashed from the time itself.
 */
export type Load = (timeS: number) => number;

/** A module that is awake until `offAtS`, then lets go with time constant `tauS` (its capacitors and its software). */
export function stage(amount: number, offAtS: number, tauS: number): Load {
  return (timeS) => (timeS < offAtS ? amount : tauS === 0 ? 0 : amount * Math.exp(-(timeS - offAtS) / tauS));
}

/** A module that looks around `rateHz` times a second, each look a pulse of `duty` of the period, until `offAtS`. */
export function polling(amount: number, rateHz: number, duty: number, fromS: number, offAtS: number): Load {
  return (timeS) => (timeS >= fromS && timeS < offAtS && (timeS * rateHz) % 1 < duty ? amount : 0);
}

/** Traffic on a bus: 5 ms slots, busy or not, busy in runs. */
export function chatter(amount: number, duty: number, salt: number, offAtS: number): Load {
  return (timeS) => {
    if (timeS >= offAtS) return 0;
    const slot = Math.floor(timeS * 200);
    return hashed(slot, salt) < duty && hashed(Math.floor(slot / 40), salt + 7) < 0.7 ? amount : 0;
  };
}

/** Pulses about 300 times a second by an unsteady clock: on for `duty` of the time. */
export function dimmedLoad(amount: number, duty: number, salt: number): Load {
  return (timeS) => (hashed(Math.floor(timeS * 300), salt) < duty ? amount : 0);
}

/** One flash in every second, for `duty` of it, at a moment that no logger's clock can fall in step with. */
export function flashes(amount: number, duty: number, salt: number): Load {
  return (timeS) => {
    const second = Math.floor(timeS);
    return (timeS - second + hashed(second, salt)) % 1 < duty ? amount : 0;
  };
}

/** On between two moments, with the short over-swing of a filament or a supply being filled. */
export function between(amount: number, onAtS: number, offAtS: number, startFactor = 1, startTauS = 0.05): Load {
  return (timeS) =>
    timeS < onAtS || timeS >= offAtS ? 0 : amount * (1 + (startFactor - 1) * Math.exp(-(timeS - onAtS) / startTauS));
}

/** A wake-up in two steps: the whole module, then only its radio, as telematics do. */
export function wake(amount: number, startS: number, endS: number, firstS: number, restShare: number): Load {
  return (timeS) => (timeS < startS || timeS >= endS ? 0 : timeS < startS + firstS ? amount : amount * restShare);
}

export function off(load: Load, fromS: number, toS: number): Load {
  return (timeS) => (timeS >= fromS && timeS < toS ? 0 : load(timeS));
}

export function steady(amount: number): Load {
  return () => amount;
}

function hashed(slot: number, salt: number): number {
  let mixed = Math.imul(slot ^ (salt * 0x9e3779b9), 0x85ebca6b);
  mixed = Math.imul(mixed ^ (mixed >>> 13), 0xc2b2ae35);
  return ((mixed ^ (mixed >>> 16)) >>> 0) / 4_294_967_296;
}
