import type { LoadParameters, LoadStage } from './drain-loads.ts';
import { type DrainMove, DrainVehicle, type ParkedVehicle } from './drain-vehicle.ts';
import type { Scenario } from './scenario.ts';
import { channelsOf, type SensorParameters } from './sensor.ts';

/** a 16-bit shunt monitor spanning 15 A: 0.46 mA a step */
const SHUNT_15A: SensorParameters = { range: 15, bits: 16, noise: 0.001, offset: 0.0004, driftPerHour: 0, hum: 0, bandwidthHz: null };
/** a Hall clamp left on overnight: its zero wanders with the temperature of the bay */
const CLAMP_DRIFTING: SensorParameters = { range: 10, bits: 12, noise: 0.012, offset: 0.012, driftPerHour: 0.03, hum: 0.005, bandwidthHz: null };
const VOLTS: SensorParameters = { range: 20, bits: 16, noise: 0.003, offset: 0, driftPerHour: 0, hum: 0, bandwidthHz: null };

const PARKED: Omit<ParkedVehicle, 'loads'> = {
  moves: [],
  battery: { restV: 12.55, surfaceV: 0.3, relaxS: 2400, ohm: 0.02 },
  rateHz: 10,
  current: SHUNT_15A,
  voltage: VOLTS,
  markErrorS: 1.5,
  finding: 'asleep',
};

/** lamps, fans and screens right after the driver leaves */
const GOODBYE: LoadParameters = load('F1', 'courtesy lamps', 0, [{ untilS: 35, currentA: 2.1 }], [{ untilS: 25, currentA: 1.4 }], true);

/**
 * Jeep KJ 2007 service information, module table: radio 1-3 mA, amplifier <= 1, body module 4.75 at most, engine module 0.95, cluster
 * 0.44, flasher 0.08, transmission controller 120 mA and after 20 minutes 0.70 mA; with the maxima 130.2 mA before and 10.9 mA after.
 */
const PUBLISHED_MODULES: readonly LoadParameters[] = [
  load('F2', 'radio', 0.003),
  load('F3', 'amplifier', 0.001),
  load('F4', 'body module', 0.00475),
  load('F5', 'engine module', 0.00095),
  load('F6', 'cluster', 0.00044),
  load('F7', 'flasher', 0.00008),
  load('F8', 'transmission controller', 0.0007, [{ untilS: 1200, currentA: 0.12 }], [{ untilS: 1200, currentA: 0.12 }], true),
];

const BUS_MODULES: readonly LoadParameters[] = [
  GOODBYE,
  load('F2', 'body module', 0.009, [{ untilS: 90, currentA: 0.85 }, { untilS: 420, currentA: 0.22 }], [{ untilS: 60, currentA: 0.6 }], true),
  load('F3', 'radio', 0.003, [{ untilS: 420, currentA: 0.2 }], [{ untilS: 4, currentA: 0.15 }]),
  load('F4', 'engine module', 0.002, [{ untilS: 25, currentA: 1.1 }, { untilS: 300, currentA: 0.07 }], [{ untilS: 8, currentA: 0.4 }]),
  load('F6', 'door module', 0.006, [{ untilS: 120, currentA: 0.12 }], [{ untilS: 45, currentA: 0.12 }], true),
  load('F8', 'clock', 0.005),
];

/**
 * Oldsmobile Aurora 2001 GM service information: telematics wake for about 45 s every 9 to 10 minutes with 80 to 240 mA and that is
 * normal. A base of 25 mA and 135 mA more for 45 s each 600 s have a mean of 35.1 mA and a median of 25 mA.
 */
const TELEMATICS: LoadParameters = {
  ...load('F9', 'telematics', 0, [{ untilS: 240, currentA: 0.24 }]),
  selfWaking: { firstS: 900, everyS: 600, jitterS: 3, forS: 45, addedA: 0.135 },
};

const QUICK_MODULES: readonly LoadParameters[] = [
  load('F1', 'courtesy lamps', 0, [{ untilS: 12, currentA: 2.1 }], [{ untilS: 6, currentA: 1.4 }], true),
  load('F2', 'body module', 0.012, [{ untilS: 40, currentA: 0.8 }, { untilS: 150, currentA: 0.2 }], [{ untilS: 10, currentA: 0.5 }], true),
  load('F3', 'radio', 0.004, [{ untilS: 90, currentA: 0.2 }], [{ untilS: 3, currentA: 0.15 }]),
  load('F4', 'engine module', 0.003, [{ untilS: 20, currentA: 1.1 }, { untilS: 70, currentA: 0.07 }], [{ untilS: 3, currentA: 0.3 }]),
  load('F5', 'auxiliary heater', 0.18),
  { ...load('F6', 'telematics', 0.004), selfWaking: { firstS: 200, everyS: 60, jitterS: 1, forS: 8, addedA: 0.14 } },
];

export const DRAIN_SCENARIOS: readonly Scenario[] = [
  drain('minibus-sleeps', 'minibus parked: one controller stays up for 20 minutes, then all sleep', 2400, { ...PARKED, loads: [GOODBYE, ...PUBLISHED_MODULES] }),
  drain('van-telematics', 'van parked: telematics wake every ten minutes, as they should', 7400, { ...PARKED, loads: [...BUS_MODULES, TELEMATICS] }),
  drain('library-bus-heater', 'library bus: flat every Monday, its heater controller never sleeps', 5400, {
    ...PARKED,
    loads: [...BUS_MODULES, load('F7', 'heater controller', 0.38, [], [{ untilS: 2, currentA: 0.7 }])],
    finding: 'drain',
  }),
  drain('flatbed-fuse-pulls', 'flatbed: something draws, fuses pulled and refitted one by one', 1500, {
    ...PARKED,
    loads: [...BUS_MODULES, load('F7', 'work lamp relay', 0.285, [], [{ untilS: 0.3, currentA: 0.9 }])],
    moves: pullsInTurn(['F2', 'F3', 'F4', 'F6', 'F7', 'F8'], 700, 30, 100),
    finding: 'drain',
  }),
  drain('van-door-ajar', 'van parked: a door is not quite shut, nothing goes to sleep', 5400, {
    ...PARKED,
    loads: [load('F1', 'courtesy lamps', 0.02, [{ untilS: Infinity, currentA: 0.9 }]), load('F2', 'body module', 0.01, [{ untilS: Infinity, currentA: 0.85 }])],
    finding: 'awake',
  }),
  drain('minibus-phone-charger', 'minibus parked: a phone on the charger, and somebody comes back for a bag', 3300, {
    ...PARKED,
    // under 10 mA idle, 300 to 400 mA charging: common practice, no published source
    loads: [...BUS_MODULES, load('F5', 'phone charger', 0.008, [{ untilS: 1500, currentA: 0.35 }], [{ untilS: 1, currentA: 0.05 }])],
    moves: [
      { atS: 2400, do: 'open-door' },
      { atS: 2425, do: 'close-door' },
    ],
  }),
  drain('minibus-clamp', 'minibus parked: measured with a clamp whose zero drifts', 3000, { ...PARKED, loads: BUS_MODULES, current: CLAMP_DRIFTING, voltage: null }),
  drain('van-quick-drain', 'van parked: asleep within three minutes, wakes each minute, one fuse carries the drain', 600, {
    ...PARKED,
    loads: QUICK_MODULES,
    moves: pullsInTurn(['F2', 'F3', 'F4', 'F5'], 290, 15, 60),
    finding: 'drain',
  }),
];

function load(
  fuse: string,
  what: string,
  asleepA: number,
  afterKeyOff: readonly LoadStage[] = [],
  afterWake: readonly LoadStage[] = [],
  wokenByDoor = false,
): LoadParameters {
  return { fuse, what, asleepA, afterKeyOff, afterWake, wokenByDoor, selfWaking: null };
}

/** each fuse out for `outS`, the next one `everyS` later */
function pullsInTurn(fuses: readonly string[], fromS: number, outS: number, everyS: number): DrainMove[] {
  return fuses.flatMap((fuse, index): DrainMove[] => [
    { atS: fromS + index * everyS, do: 'pull', fuse },
    { atS: fromS + index * everyS + outS, do: 'refit', fuse },
  ]);
}

function drain(name: string, title: string, durationS: number, vehicle: ParkedVehicle): Scenario {
  return {
    name,
    title,
    test: 'drain',
    rateHz: vehicle.rateHz,
    durationS,
    fuses: vehicle.loads.map((each) => each.fuse),
    runLimitsA: null,
    channels: channelsOf(vehicle),
    start: (seed) => new DrainVehicle(vehicle, seed),
  };
}
