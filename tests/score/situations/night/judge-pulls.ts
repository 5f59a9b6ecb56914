import { holds } from './coverage.ts';
import type { NightDocument, SaidPull } from './document.ts';
import { grosslyOut, milli, overlap } from './judge-figures.ts';
import type { Fault, NightLabel, TruePull } from './types.ts';

/** Less than this on one fuse changes no decision about a drain (definitions.md, "pull"). */
const TRIFLE_A = 0.005;

/** Judges what the answer says of pulls, marked or not, and of what is left unexplained (definitions.md). */
export function pullFaults(document: NightDocument, label: NightLabel): Fault[] {
  const faults: Fault[] = [];
  for (const pull of label.pulls) {
    const said = document.pulls.find((one) => one.label === pull.label);
    if (said === undefined) faults.push({ outcome: 'missed', reason: `pull ${pull.label} not in the table` });
    else faults.push(...onePull(said, pull));
  }
  for (const said of document.pulls) {
    if (!label.pulls.some((pull) => pull.label === said.label)) faults.push({ outcome: 'false', reason: `pull ${said.label} that nobody marked` });
  }
  return [...faults, ...possibleFaults(document, label), ...unexplainedFaults(document, label)];
}

function onePull(said: SaidPull, pull: TruePull): Fault[] {
  const inside = said.lowA !== undefined && said.highA !== undefined && holds(said.lowA, said.highA, pull.change);
  const gross = said.changeA !== null && grosslyOut(said.changeA, said.lowA ?? said.changeA, said.highA ?? said.changeA, pull.change);
  const figure = `pull ${pull.label}: ${said.changeA === null ? 'no figure' : milli(said.changeA)}, carries ${said.carries}; truly ${milli(pull.change.meanA)} mA`;
  if (said.carries === null) return pull.right.includes(null) ? [] : [{ outcome: 'cannot-tell', reason: figure }];
  const carriesTruly = Math.max(Math.abs(pull.change.meanA), Math.abs(pull.change.floorA)) > 0;
  const trifle = Math.abs(pull.change.meanA) < TRIFLE_A;
  // a claim that could not be earned, but is true and bounded truly, harms nobody
  const claimTrue = pull.right.includes(said.carries) || said.carries === carriesTruly || (trifle && said.carries === false);
  if (!claimTrue) return [{ outcome: inside && trifle ? 'cannot-tell' : 'false', reason: figure }];
  return gross ? [{ outcome: 'false', reason: figure }] : [];
}

function possibleFaults(document: NightDocument, label: NightLabel): Fault[] {
  const faults: Fault[] = [];
  const found = label.possiblePulls.filter((pull) => document.possiblePulls.some((said) => overlap(said, pull)));
  if (found.length < label.possiblePulls.length) faults.push({ outcome: 'missed', reason: `${label.possiblePulls.length - found.length} of ${label.possiblePulls.length} unmarked pulls not offered` });
  const true_ = [...label.possiblePulls, ...label.dips];
  const invented = document.possiblePulls.filter((said) => !true_.some((span) => overlap(said, span)));
  if (invented.length > 0) faults.push({ outcome: 'false', reason: `${invented.length} pulls offered where nothing was pulled, the first at ${invented[0]!.fromS.toFixed(0)} s` });
  return faults;
}

function unexplainedFaults(document: NightDocument, label: NightLabel): Fault[] {
  const truth = label.unexplained;
  const said = document.unexplainedA;
  if (truth === null) return [];
  if (said === null) return truth.must ? [{ outcome: 'cannot-tell', reason: 'unexplained_a null' }] : [];
  const widthA = document.pulls.reduce((sum, pull) => sum + (pull.lowA === undefined || pull.highA === undefined ? 0 : (pull.highA - pull.lowA) / 2), 0);
  const restA = document.asleep === null ? 0 : (document.asleep.highA - document.asleep.lowA) / 2;
  const allowA = Math.max(0.005, 0.15 * (label.asleep?.level.meanA ?? 0)) + widthA + restA;
  const outA = Math.min(Math.abs(said - truth.level.meanA), Math.abs(said - truth.level.floorA));
  return outA > allowA ? [{ outcome: 'false', reason: `unexplained ${milli(said)}, truly ${milli(truth.level.meanA)} mA` }] : [];
}
