/** Where an entry of the table comes from. Service information was read on public mirrors; the carmaker and the vehicle are cited. */
export const SOURCES = {
  practice: 'common practice, no published source',
  physics: 'physics: no current flows through an open circuit, and no volts are lost without current',
  'seat-inoperative': 'Chevrolet Monte Carlo 2006, power seat inoperative: volts at the switch, its ground, then volts at the motor both ways',
  'memory-seat': 'Cadillac CTS 2003, memory seat inoperative: all motors or one, switch, both directions, then the motor',
  'seat-inspection': 'freeasestudyguides.com, power seats: look for a jam first; an open makes no motor noise; a short blows the fuse again',
  'window-cut-out': 'Chevrolet Monte Carlo 1998, windows: the breaker in the motor opens when it is held against a stop and closes only after the volts are removed',
  'cut-out-time': 'Toyota Previa 1997, power window circuit breaker: opens within 4 to 40 s, runs again within 60 s',
  'fed-directly': 'Toyota 4Runner 2000, power window motor inspection: battery straight to its terminals, both polarities; if it does not turn, replace it',
  'drop-limit': 'Kia Sportage 1997, testing for voltage drop: more than 0.5 V may indicate a problem',
  'feed-range': 'ISO 16750-2, table 1: supply range of class D from 10.5 V',
  'fuse-by-fuse': 'Mercury Villager 1996, battery drain test: the fuse that ends it names the circuit; if none does, the alternator',
  'drain-order': 'Cadillac DeVille 1995, parasitic load test: battery recharged and load tested, charging tested, then the drain',
  'drain-parts': 'Chevrolet Tahoe 2009, parasitic load: stuck switch, stuck relay, control module',
  'charge-volts': 'Trojan T-105 data sheet, 12 V systems: 13.50 V float, 14.82 V bulk',
} as const;
export type SourceKey = keyof typeof SOURCES;
