import type { NightDocument } from './document.ts';
import type { Level, NightLabel } from './types.ts';

/** Whether one 95 % bound held the truth, in each situation that its night belongs to. */
export interface Covered {
  readonly what: 'asleep level' | 'level as read' | 'pull change' | 'wake period';
  readonly tag: string;
  readonly inside: boolean;
}

/**
 * Tries every bound that the answer states against the truth. A level may be reported with the polls averaged in or as the floor
 * between them, so either is a hit. Where the answer says that the zero of the sensor is not known, the rest of its bounds is tried
 * against the level as the sensor reads it as well. A pull that claims nothing (`carries` null) is not tried.
 */
export function coverageOf(document: NightDocument, label: NightLabel): Covered[] {
  const tried: { what: Covered['what']; inside: boolean }[] = [];
  if (document.asleep !== null && label.asleep !== null) {
    const { levelA, lowA, highA, withoutZeroA } = document.asleep;
    tried.push({ what: 'asleep level', inside: holds(lowA, highA, label.asleep.level) });
    if (withoutZeroA !== null) tried.push({ what: 'level as read', inside: holds(levelA - withoutZeroA, levelA + withoutZeroA, shifted(label.asleep.level, label.zeroA)) });
  }
  for (const pull of label.pulls) {
    const said = document.pulls.find((one) => one.label === pull.label);
    if (said?.lowA === undefined || said.highA === undefined || said.carries === null) continue;
    tried.push({ what: 'pull change', inside: holds(said.lowA, said.highA, pull.change) });
  }
  if (document.periodBoundsS !== null && label.period !== null) {
    const { lowS, highS } = document.periodBoundsS;
    tried.push({ what: 'wake period', inside: lowS <= label.period.meanS && label.period.meanS <= highS });
  }
  return tried.flatMap((one) => ['all', ...label.tags].map((tag) => ({ ...one, tag })));
}

/** As a sensor with such a zero reads it. */
function shifted({ meanA, floorA }: Level, zeroA: number): Level {
  return { meanA: meanA + zeroA, floorA: floorA + zeroA };
}

export function holds(lowA: number, highA: number, level: Level): boolean {
  return [level.meanA, level.floorA].some((ampsA) => lowA <= ampsA && ampsA <= highA);
}
