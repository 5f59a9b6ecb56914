import type { DrainResult } from '../../src/core/analysis/results.ts';
import { formatClock } from './format.ts';
import { UncertaintyParts } from './uncertainty-parts.tsx';
import { formatCurrent, formatCurrentBounds, formatDuration, significant } from '../../src/core/units.ts';

/** Fuses pulled, with what each carried and its uncertainty; fills as they are pulled. */
export function PullTable({ result }: { result: DrainResult }) {
  if (result.pulls.length === 0) return null;
  return (
    <div class="table-wrap" tabIndex={0} role="region" aria-label="Table of pulled fuses">
      <table class="figures">
        <thead><tr><th scope="col">Fuse</th><th scope="col">Change on pulling</th><th scope="col">Carries</th></tr></thead>
        <tbody>
          {result.pulls.map((pull) => (
            <tr key={`${pull.label} ${pull.at_s}`} class={pull.carries ? 'is-telling' : ''}>
              <th scope="row">{pull.label}</th>
              <td>{formatCurrentBounds(pull.change_a, pull.low_a, pull.high_a)}{pull.uncertainty !== undefined && pull.uncertainty.length > 0 && <UncertaintyParts of={`fuse ${pull.label}`} told={{ unit: 'A', parts: pull.uncertainty }} />}</td>
              <td>{pull.carries === null ? 'not measured, pull it again at rest' : pull.carries ? `yes, ${formatCurrent(-pull.change_a)}` : 'not seen'}</td>
            </tr>
          ))}
        </tbody>
        {result.unexplained_a !== null && (
          <tfoot><tr><th scope="row">Left over</th><td>{formatCurrent(result.unexplained_a)}</td><td>not on a fuse pulled so far</td></tr></tfoot>
        )}
      </table>
    </div>
  );
}

/** Steps that look like a fuse pulled and put back without a mark. */
export function PossiblePullTable({ result }: { result: DrainResult }) {
  if (result.possible_pulls.length === 0) return null;
  return (
    <div class="table-wrap" tabIndex={0} role="region" aria-label="Table of possible pulls">
      <table class="figures">
        <thead><tr><th scope="col">Possible pull, no mark</th><th scope="col">Back at</th><th scope="col">Change</th></tr></thead>
        <tbody>
          {result.possible_pulls.map((one) => (
            <tr key={one.from_s}><th scope="row">{formatClock(one.from_s)}</th><td>{formatClock(one.to_s)}</td><td>{formatCurrentBounds(one.change_a, one.low_a, one.high_a)}</td></tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

/** What the night looked like, in figures. */
export function DrainFacts({ result }: { result: DrainResult }) {
  const { asleep, wakeups, battery } = result;
  const held = result.held ?? null;
  const sinceS = asleep?.at_s ?? held?.since_s;
  const level = asleep ?? held;
  return (
    <dl class="facts">
      {result.key_off_s !== null && <div><dt>Key-off</dt><dd>{formatDuration(result.key_off_s)} after the start</dd></div>}
      <div><dt>{held === null ? 'Asleep since' : 'Steady so far, since'}</dt><dd>{sinceS === undefined ? 'not yet' : sinceS < 5 ? 'the start of the recording' : `${formatDuration(sinceS)} after the start`}</dd></div>
      <div><dt>{held === null ? 'Asleep, without wake-ups' : 'Level held'}</dt><dd>{level === null ? '–' : formatCurrentBounds(level.level_a, level.low_a, level.high_a)}</dd></div>
      {result.time_out != null && <div><dt>Wait for</dt><dd>a time-out of {formatDuration(result.time_out.length_s)}, over {formatDuration(result.time_out.until_s)} after the start</dd></div>}
      {result.pulses != null && <div><dt>Pulses</dt><dd>{formatCurrent(result.pulses.floor_a)} between them, {formatCurrent(result.pulses.pulse_a)} more in them, {significant(result.pulses.duty * 100, 2)} % of the time; mean {formatCurrent(result.pulses.mean_a)}</dd></div>}
      <div><dt>Average, wake-ups included</dt><dd>{formatCurrent(result.average_a)}</dd></div>
      <div><dt>Limit</dt><dd>{formatCurrent(result.limit_a)}{result.over_limit === null ? '' : result.over_limit ? ', passed' : ', kept'}</dd></div>
      {result.reserve_limit_a != null && <div><dt>Reserve capacity over four</dt><dd>{formatCurrent(result.reserve_limit_a)}, one maker's rule</dd></div>}
      <div><dt>Charge</dt><dd>{significant(result.charge_ah_per_day, 3)} Ah a day</dd></div>
      <div><dt>Wake-ups</dt><dd>{wakeups.length === 0 ? 'none seen' : `${wakeups.length}${result.wake_period_s === null ? ', no steady period' : `, every ${formatDuration(result.wake_period_s)}`}`}</dd></div>
      {battery !== null && <div><dt>Battery, {significant(battery.capacity_ah, 3)} Ah</dt><dd>{significant(battery.days_to_half, 2)} days to half, {significant(battery.days_to_empty, 2)} to empty</dd></div>}
      {battery?.soc != null && battery.days_from_now != null && <div><dt>Charged now, by its rested voltage</dt><dd>{battery.soc.low_percent.toFixed(0)} to {battery.soc.high_percent.toFixed(0)} %, {significant(battery.days_from_now.low, 2)} to {significant(battery.days_from_now.high, 2)} days to half</dd></div>}
      {battery?.self_discharge_percent_per_month !== undefined && <div><dt>Self-discharge</dt><dd>{significant(battery.self_discharge_percent_per_month.low, 2)} to {significant(battery.self_discharge_percent_per_month.high, 2)} % a month</dd></div>}
      {battery?.capacity_basis !== undefined && <div><dt>Days calculated from</dt><dd>{battery.capacity_basis}</dd></div>}
    </dl>
  );
}

export function WakeUpTable({ result, show }: { result: DrainResult; show: (fromS: number, toS: number) => void }) {
  if (result.wakeups.length === 0) return null;
  const listed = result.wakeups.slice(0, 200);
  return (
    <div class="table-wrap" tabIndex={0} role="region" aria-label="Table of wake-ups">
      <table class="figures">
        <thead><tr><th scope="col">Wake-up</th><th scope="col">At</th><th scope="col">Length</th><th scope="col">Peak</th><th scope="col">Charge</th><th scope="col">Woken by</th></tr></thead>
        <tbody>
          {listed.map((wake, index) => (
            <tr key={wake.start_s}>
              <th scope="row"><button type="button" class="link" aria-label={`Show wake-up ${index + 1} on the chart`} onClick={() => show(wake.start_s - 10, wake.end_s + 10)}>{index + 1}</button></th>
              <td>{formatClock(wake.start_s)}</td><td>{formatDuration(wake.end_s - wake.start_s)}</td><td>{formatCurrent(wake.peak_a)}</td><td>{significant(wake.charge_c, 3)} C</td><td>{wake.cause === 'person' ? 'a person' : wake.cause === 'fuse' ? 'a fuse' : 'itself'}</td>
            </tr>
          ))}
        </tbody>
      </table>
      {listed.length < result.wakeups.length && <p class="fine">The first {listed.length} of {result.wakeups.length}.</p>}
    </div>
  );
}
