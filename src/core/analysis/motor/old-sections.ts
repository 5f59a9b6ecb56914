import { loadOfSections, placeOf } from './compose.ts';
import type { Section } from './section.ts';

/** Of sections whose presses are no longer kept the first of the list holds what all of them had in common; `presses` says how many went. */
export function foldOld(sections: readonly Section[], keptPresses: number): { sections: Section[]; presses: number } {
  let from = sections.length;
  for (let presses = 0; from > 0 && presses < keptPresses; from--) presses += sections[from - 1].actuations.length;
  if (from === 0) return { sections: [...sections], presses: 0 };
  const old = sections.slice(0, from);
  const without = old.map((section): Section => ({ ...section, actuations: [], flags: [], gaps: [], ...deadOf(section) }));
  return { sections: [without.reduce(foldTwo), ...sections.slice(from)], presses: old.reduce((sum, section) => sum + section.actuations.length, 0) };
}

/** Presses without current that are more than the clamp's: where it misses a load, nothing is dead. */
function deadOf({ deadPresses, unseenLoads }: Section): Pick<Section, 'deadPresses' | 'unseenLoads'> {
  return { deadPresses: Math.max(0, deadPresses - unseenLoads), unseenLoads: 0 };
}

function foldTwo(first: Section, next: Section): Section {
  const longer = next.samples > first.samples ? next : first;
  return {
    ...longer,
    samples: first.samples + next.samples,
    startS: first.startS,
    endS: next.endS,
    place: placeOf([first, next]),
    hasVoltage: first.hasVoltage || next.hasVoltage,
    topV: Math.max(first.topV, next.topV),
    deadPresses: first.deadPresses + next.deadPresses,
    certain: first.certain && next.certain,
    load: loadOfSections([first, next]),
    isUnusable: first.isUnusable || next.isUnusable,
    problems: [...first.problems, ...next.problems.filter(({ code }) => !first.problems.some((known) => known.code === code))],
  };
}
