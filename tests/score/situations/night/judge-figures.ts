import { holds } from './coverage.ts';
import type { NightDocument } from './document.ts';
import type { Fault, Level, NightLabel, Span } from './types.ts';

/** Judges what the answer says of rest, limit, wake-ups, period, average and key-off (definitions.md). */
export function figureFaults(document: NightDocument, label: NightLabel): Fault[] {
  return [...restFaults(document, label), ...limitFaults(document, label), ...wakeupFaults(document, label), ...periodFaults(document, label), ...averageFaults(document, label), ...batteryFaults(document, label), ...keyOffFaults(document, label), ...rowFaults(document, label)];
}

/** A figure is false, and not merely one of the five in a hundred, when it is out by three half-widths and by what matters. */
export function grosslyOut(saidA: number, lowA: number, highA: number, truth: Level): boolean {
  if (holds(lowA, highA, truth)) return false;
  const outA = Math.min(Math.abs(saidA - truth.meanA), Math.abs(saidA - truth.floorA));
  const halfA = (highA - lowA) / 2;
  const mattersA = Math.max(0.005, 0.1 * Math.abs(truth.meanA));
  return outA > 3 * halfA && outA > mattersA;
}

function restFaults(document: NightDocument, label: NightLabel): Fault[] {
  const said = document.asleep;
  if (label.asleep === null) return said === null ? [] : [wrong(`asleep from ${said.atS.toFixed(0)} s, but it never was`)];
  if (said === null) return label.asleep.must ? [{ outcome: 'cannot-tell', reason: 'rest not reported' }] : [];
  const faults: Fault[] = [];
  // half a minute early is a matter of where a step is put; late costs nobody a wrong part, but too late is not seen
  const early = label.asleep.begins.every((begin) => said.atS < begin.fromS - 30);
  const late = label.asleep.begins.every((begin) => said.atS < begin.fromS - 30 || said.atS > begin.toS + Math.max(120, 0.25 * begin.toS));
  if (early) faults.push(wrong(`asleep from ${said.atS.toFixed(0)} s, while awake until ${label.asleep.begins[0]?.toS.toFixed(0)} s`));
  else if (late) faults.push({ outcome: 'missed', reason: `asleep only from ${said.atS.toFixed(0)} s, truly from ${label.asleep.begins.map((begin) => begin.toS.toFixed(0)).join(' or ')} s` });
  if (grosslyOut(said.levelA, said.lowA, said.highA, label.asleep.level)) {
    faults.push(wrong(`level ${milli(said.levelA)} (${milli(said.lowA)} to ${milli(said.highA)}), truly ${milli(label.asleep.level.meanA)} mA`));
  }
  return faults;
}

function limitFaults(document: NightDocument, label: NightLabel): Fault[] {
  if (label.overLimit.includes(document.overLimit)) return [];
  if (document.overLimit === null) return [{ outcome: 'cannot-tell', reason: 'over_limit null' }];
  return [wrong(`over_limit ${document.overLimit}`)];
}

function wakeupFaults(document: NightDocument, label: NightLabel): Fault[] {
  const faults: Fault[] = [];
  const seen = label.wakeups.filter((wakeup) => document.wakeups.some((said) => overlap(wakeup, { fromS: said.startS, toS: said.endS })));
  const lost = label.wakeups.length - seen.length;
  // a tenth may hide in a gap or in the minutes before rest was sure
  if (lost > Math.floor(0.1 * label.wakeups.length)) faults.push({ outcome: label.right.includes(document.finding) ? 'missed' : 'cannot-tell', reason: `${lost} of ${label.wakeups.length} wake-ups not listed` });
  const excused = [...label.wakeups, ...label.stirred, ...label.dips];
  const invented = document.wakeups.filter((said) => !excused.some((span) => overlap(span, { fromS: said.startS, toS: said.endS })));
  const firstRestS = label.asleep?.begins[0]?.toS ?? Number.POSITIVE_INFINITY;
  const atRest = invented.filter((said) => said.startS > firstRestS + 5);
  if (atRest.length > 0) faults.push(wrong(`${atRest.length} wake-ups that never were, the first at ${atRest[0]!.startS.toFixed(0)} s`));
  return faults;
}

function periodFaults(document: NightDocument, label: NightLabel): Fault[] {
  const said = document.periodS;
  if (label.period === null) return said === null ? [] : [wrong(`wake period ${said.toFixed(0)} s, but there is none`)];
  if (said === null) return label.period.must ? [{ outcome: 'missed', reason: 'no wake period reported' }] : [];
  const out = Math.abs(said - label.period.meanS) / label.period.meanS;
  return out > 0.15 ? [wrong(`wake period ${said.toFixed(0)} s, truly ${label.period.meanS.toFixed(0)} s`)] : [];
}

function averageFaults(document: NightDocument, label: NightLabel): Fault[] {
  if (document.averageA === null || label.averageA === null || label.asleep === null || document.asleep === null) return [];
  // what the sensor's zero may be out by shows in the bounds of the level and is no mistake of the average
  const allowA = Math.max(0.01, 0.25 * label.averageA) + 1.5 * (document.asleep.highA - document.asleep.lowA);
  if (Math.abs(document.averageA - label.averageA) <= allowA) return [];
  return [wrong(`average ${milli(document.averageA)}, truly ${milli(label.averageA)} mA`)];
}

function batteryFaults(document: NightDocument, label: NightLabel): Fault[] {
  if (label.daysToEmpty === null || document.asleep === null) return [];
  if (document.daysToEmpty === null) return [{ outcome: 'missed', reason: 'no outlook for the battery' }];
  // a battery loses charge by itself as well and never gives all, so less is no mistake; much more is
  const ratio = document.daysToEmpty / label.daysToEmpty;
  return ratio > 1.3 || ratio < 0.4 ? [wrong(`${document.daysToEmpty.toFixed(1)} days to empty, at most ${label.daysToEmpty.toFixed(1)}`)] : [];
}

function keyOffFaults(document: NightDocument, label: NightLabel): Fault[] {
  const said = document.keyOffS;
  if (label.keyOff === null) return said === null || said <= 5 ? [] : [wrong(`key-off at ${said.toFixed(0)} s, but the vehicle was parked from the beginning`)];
  if (said === null) return label.keyOff.must ? [{ outcome: label.right.includes(document.finding) ? 'missed' : 'cannot-tell', reason: 'key-off not reported' }] : [];
  const slackS = 15;
  return said < label.keyOff.fromS - slackS || said > label.keyOff.toS + slackS ? [wrong(`key-off at ${said.toFixed(0)} s, truly ${label.keyOff.toS.toFixed(0)} s`)] : [];
}

function rowFaults(document: NightDocument, label: NightLabel): Fault[] {
  if (label.mostLevels === null || document.levelRows <= label.mostLevels) return [];
  return [{ outcome: 'missed', reason: `${document.levelRows} levels where ${label.mostLevels} say it` }];
}

/** with a few seconds either side, for logger rates of 1 S/s and for where an edge is put */
export function overlap(left: Span, right: Span): boolean {
  return left.fromS - 5 <= right.toS && right.fromS <= left.toS + 5;
}

function wrong(reason: string): Fault {
  return { outcome: 'false', reason };
}

export function milli(ampsA: number): string {
  return (ampsA * 1000).toFixed(1);
}
