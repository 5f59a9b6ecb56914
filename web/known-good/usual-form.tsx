import { useSignal } from '@preact/signals';
import { USUAL_NAMES } from '../../src/core/analysis/compare/known-good/usual.ts';
import type { UsualCurrents } from '../../src/core/analysis/compare/known-good/types.ts';
import { language } from '../../src/core/present/language.ts';
import type { KnownGoodSet, TypedCircuit } from '../../src/core/wire/prove.ts';
import { NumberField, TextField } from '../set-up/fields.tsx';
import { keepUsual } from '../state/library.ts';
import { wordsOf } from '../state/stored.ts';

const words = language.library;
/** In milliamps, as people read a parked vehicle. */
const IN_MILLIAMPS: ReadonlySet<keyof UsualCurrents> = new Set(['asleep_a']);
const MA_PER_A = 1000;

type Ends = Readonly<Record<keyof UsualCurrents, readonly [number | null, number | null]>>;

interface Props {
  /** null: a new one, which begins with what is in the set-up */
  readonly set: KnownGoodSet | null;
  readonly begin: { readonly circuit: string; readonly run: readonly [number, number] | null };
  /** null: nothing was kept */
  readonly done: (set: KnownGoodSet | null) => void;
}

/** What a circuit usually draws, as a person knows it. */
export function UsualForm({ set, begin, done }: Props) {
  const circuit = useSignal(set?.circuit ?? begin.circuit);
  const vehicleType = useSignal(set?.vehicle_type ?? '');
  const place = useSignal(set?.place ?? '');
  const ends = useSignal<Ends>(endsOf(set?.usual ?? { run_a: begin.run, stall_a: null, inrush_peak_a: null, asleep_a: null }));
  const working = useSignal(false);
  const error = useSignal('');
  const put = (name: keyof UsualCurrents, at: 0 | 1, value: number | null): void => {
    const [low, high] = ends.value[name];
    ends.value = { ...ends.value, [name]: at === 0 ? [value, high] : [low, value] };
  };
  const keep = async (): Promise<void> => {
    const usual = usualOf(ends.value);
    if (circuit.value.trim() === '') error.value = words.nameFirst;
    else if (typeof usual === 'string') error.value = usual;
    else await send({ circuit: circuit.value.trim(), vehicle_type: vehicleType.value.trim(), place: place.value.trim(), usual });
  };
  const send = async (typed: TypedCircuit): Promise<void> => {
    error.value = '';
    working.value = true;
    try {
      done(await keepUsual(set?.id ?? null, typed));
    } catch (failure) {
      error.value = wordsOf(failure);
      working.value = false;
    }
  };
  return (
    <form
      class="plate form" aria-label={set === null ? words.newName : words.changeName}
      onSubmit={(event) => {
        event.preventDefault();
        void keep();
      }}
    >
      <h2>{set === null ? words.newName : words.changeName}</h2>
      <p class="fine">{words.intro}</p>
      <TextField name={words.circuit} value={circuit.value} set={(value) => (circuit.value = value)} placeholder={words.circuitExample} />
      <TextField name={words.vehicleType} value={vehicleType.value} set={(value) => (vehicleType.value = value)} placeholder={words.vehicleExample} />
      <TextField name={words.place} value={place.value} set={(value) => (place.value = value)} placeholder={words.placeExample} />
      {USUAL_NAMES.map((name) => (
        <div class="range-fields" key={name} role="group" aria-label={words.figures[name]}>
          <NumberField name={words.from(words.figures[name])} unit={unitOf(name)} value={ends.value[name][0]} set={(value) => put(name, 0, value)} min={0} max={10000} {...(name === 'asleep_a' ? { help: words.asleepHelp } : {})} />
          <NumberField name={words.upTo} unit={unitOf(name)} value={ends.value[name][1]} set={(value) => put(name, 1, value)} min={0} max={10000} />
        </div>
      ))}
      {error.value !== '' && <p class="error" role="alert">{error.value}</p>}
      <div class="form-end">
        <button type="submit" class="button" disabled={working.value}>{working.value ? words.saving : words.save}</button>
        <button type="button" class="button button-quiet" onClick={() => done(null)}>{words.cancel}</button>
      </div>
    </form>
  );
}

function unitOf(name: keyof UsualCurrents): string {
  return IN_MILLIAMPS.has(name) ? 'mA' : 'A';
}

/** As the fields show them. */
function endsOf(usual: UsualCurrents): Ends {
  const shown = (name: keyof UsualCurrents): readonly [number | null, number | null] => {
    const range = usual[name];
    const factor = IN_MILLIAMPS.has(name) ? MA_PER_A : 1;
    return range === null ? [null, null] : [Number((range[0] * factor).toPrecision(6)), Number((range[1] * factor).toPrecision(6))];
  };
  return { run_a: shown('run_a'), stall_a: shown('stall_a'), inrush_peak_a: shown('inrush_peak_a'), asleep_a: shown('asleep_a') };
}

/** A sentence where something is missing. */
function usualOf(ends: Ends): UsualCurrents | string {
  const usual: Record<keyof UsualCurrents, readonly [number, number] | null> = { run_a: null, stall_a: null, inrush_peak_a: null, asleep_a: null };
  for (const name of USUAL_NAMES) {
    const [low, high] = ends[name];
    if (low === null && high === null) continue;
    if (low === null || high === null || low >= high) return words.bothEnds(words.figures[name]);
    const factor = IN_MILLIAMPS.has(name) ? MA_PER_A : 1;
    usual[name] = [low / factor, high / factor];
  }
  return USUAL_NAMES.every((name) => usual[name] === null) ? words.oneCurrent : usual;
}
