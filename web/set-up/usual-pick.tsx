import { useEffect } from 'preact/hooks';
import { USUAL_NAMES } from '../../src/core/analysis/compare/known-good/usual.ts';
import { formatCurrent, language } from '../../src/core/present/language.ts';
import type { KnownGoodSet } from '../../src/core/wire/prove.ts';
import { hrefOf } from '../app/route.ts';
import { library, libraryError, refreshLibrary } from '../state/library.ts';

const words = language.library;

interface Props {
  /** circuits that can be chosen here: those that hold what this test is judged by */
  readonly holds: (set: KnownGoodSet) => boolean;
  /** whether the fields hold what the circuit says */
  readonly isChosen: (set: KnownGoodSet) => boolean;
  readonly choose: (set: KnownGoodSet) => void;
}

/** Address of the library for who comes to type in usual currents: where it is empty, their form is open. */
export const USUAL = 'usual';

/** Fills the fields from the library of usual currents and known-good limits. */
export function UsualPick({ holds, isChosen, choose }: Props) {
  useEffect(() => void refreshLibrary(), []);
  const sets = (library.value ?? []).filter(holds);
  const chosen = sets.find(isChosen);
  return (
    <div class="field field-wide">
      {sets.length > 0 && (
        <label class="field">
          <span class="field-name">{words.pick}</span>
          <select
            value={chosen?.id ?? ''}
            onChange={(event) => {
              const set = sets.find(({ id }) => id === event.currentTarget.value);
              if (set !== undefined) choose(set);
            }}
          >
            <option value="" disabled={chosen !== undefined}>{words.none}</option>
            {sets.map((set) => <option value={set.id} key={set.id}>{nameOf(set)}</option>)}
          </select>
        </label>
      )}
      {chosen !== undefined && <span class="fine" role="status">{figuresOf(chosen)}</span>}
      <span class="fine">{library.value !== null && sets.length === 0 ? `${words.noneYet} ` : ''}{libraryError.value}<a href={hrefOf('compare', 'known-good', USUAL)}>{words.open}</a></span>
    </div>
  );
}

function nameOf({ circuit, vehicle_type: vehicleType, place }: KnownGoodSet): string {
  return [circuit, vehicleType, place].filter(Boolean).join(', ');
}

/** What the circuit draws, in one line. */
export function figuresOf({ usual, run_limits_a: run, place }: KnownGoodSet): string {
  const said = USUAL_NAMES.flatMap((name) => {
    const range = usual === undefined ? (name === 'run_a' ? run : null) : usual[name];
    return range === null ? [] : [words.said[name](words.range(formatCurrent(range[0]), formatCurrent(range[1])))];
  });
  return [...said, ...(place === undefined ? [] : [words.at(place)])].join(', ');
}
