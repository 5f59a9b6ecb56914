import type { DrainResult } from '../../src/core/analysis/results.ts';
import { pullChange } from '../../src/core/present/wording/pull-words.ts';
import { formatClock } from './format.ts';
import { UncertaintyParts } from './uncertainty-parts.tsx';
import { FigureTable } from '../app/figure-table.tsx';
import { decimal, formatCurrent, formatCurrentBounds, formatDuration, language, significant } from '../../src/core/present/language.ts';

const words = language.screens.reading.drainTables;

/** Fuses pulled, with what each carried and its uncertainty; fills as they are pulled. */
export function PullTable({ result }: { result: DrainResult }) {
  if (result.pulls.length === 0) return null;
  return (
    <FigureTable name={words.tableOfPulledFuses} heads={[words.fuse, words.changeOnPulling, words.carries]}>
      <tbody>
        {result.pulls.map((pull) => (
          <tr key={`${pull.label} ${pull.at_s}`} class={pull.carries ? 'is-telling' : ''}>
            <th scope="row">{pull.label}</th>
            <td>{pullChange(pull)}{pull.uncertainty !== undefined && pull.uncertainty.length > 0 && <UncertaintyParts of={words.fuseOf(pull.label)} from={{ unit: 'A', parts: pull.uncertainty }} figure={formatCurrentBounds(pull.change_a, pull.low_a, pull.high_a)} />}</td>
            <td>{pull.carries === null ? words.notMeasuredPullIt : pull.carries ? words.yes(formatCurrent(-pull.change_a)) : words.notSeen}</td>
          </tr>
        ))}
      </tbody>
      {result.unexplained_a !== null && (
        <tfoot><tr><th scope="row">{words.leftOver}</th><td>{formatCurrent(result.unexplained_a)}</td><td>{words.notOnAFuse}</td></tr></tfoot>
      )}
    </FigureTable>
  );
}

/** Steps that look like a fuse pulled and put back without a mark. */
export function PossiblePullTable({ result }: { result: DrainResult }) {
  if (result.possible_pulls.length === 0) return null;
  return (
    <FigureTable name={words.tableOfPossiblePulls} heads={[words.possiblePullNoMark, words.backAt, words.change]}>
      <tbody>
        {result.possible_pulls.map((one) => (
          <tr key={one.from_s}><th scope="row">{formatClock(one.from_s)}</th><td>{formatClock(one.to_s)}</td><td>{formatCurrentBounds(one.change_a, one.low_a, one.high_a)}</td></tr>
        ))}
      </tbody>
    </FigureTable>
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
      {result.key_off_s !== null && <div><dt>{words.keyOff}</dt><dd>{words.afterTheStart(formatDuration(result.key_off_s))}</dd></div>}
      <div><dt>{held !== null ? words.steadySoFarSince : result.over_limit === true ? words.settledSince : words.asleepSince}</dt><dd>{sinceS === undefined ? words.notYet : sinceS < 5 ? words.theStartOfTheRecording : words.afterTheStartOf(formatDuration(sinceS))}</dd></div>
      <div><dt>{held !== null ? words.levelHeld : result.over_limit === true ? words.settledAtWithoutWakeUps : words.asleepWithoutWakeUps}</dt><dd>{level === null ? '–' : formatCurrentBounds(level.level_a, level.low_a, level.high_a)}</dd></div>
      {result.time_out != null && <div><dt>{words.waitFor}</dt><dd>{words.aTimeOutOf(formatDuration(result.time_out.length_s), formatDuration(result.time_out.until_s))}</dd></div>}
      {result.pulses != null && <div><dt>{words.pulses}</dt><dd>{words.betweenThemMoreIn(formatCurrent(result.pulses.floor_a), formatCurrent(result.pulses.pulse_a), significant(result.pulses.duty * 100, 2), formatCurrent(result.pulses.mean_a))}</dd></div>}
      <div><dt>{words.averageWakeUpsIncluded}</dt><dd>{formatCurrent(result.average_a)}</dd></div>
      <div><dt>{words.limit}</dt><dd>{formatCurrent(result.limit_a)}{result.over_limit === null ? '' : result.over_limit ? words.passed : words.kept}</dd></div>
      {result.reserve_limit_a != null && <div><dt>{words.reserveCapacityOverFour}</dt><dd>{words.oneMakersRule(formatCurrent(result.reserve_limit_a))}</dd></div>}
      <div><dt>{words.charge}</dt><dd>{words.ahADay(significant(result.charge_ah_per_day, 3))}</dd></div>
      <div><dt>{words.wakeUps}</dt><dd>{wakeups.length === 0 ? words.noneSeen : `${wakeups.length}${result.wake_period_s === null ? words.noSteadyPeriod : words.every(formatDuration(result.wake_period_s))}`}</dd></div>
      {battery !== null && <div><dt>{words.batteryAh(significant(battery.capacity_ah, 3))}</dt><dd>{words.daysToHalfToEmpty(significant(battery.days_to_half, 2), significant(battery.days_to_empty, 2))}</dd></div>}
      {battery?.soc != null && battery.days_from_now != null && <div><dt>{words.chargedNowByIts}</dt><dd>{words.toToDaysToHalf(decimal(battery.soc.low_percent, 0), decimal(battery.soc.high_percent, 0), significant(battery.days_from_now.low, 2), significant(battery.days_from_now.high, 2))}</dd></div>}
      {battery?.self_discharge_percent_per_month !== undefined && <div><dt>{words.selfDischarge}</dt><dd>{words.toAMonth(significant(battery.self_discharge_percent_per_month.low, 2), significant(battery.self_discharge_percent_per_month.high, 2))}</dd></div>}
      {battery?.capacity_basis !== undefined && <div><dt>{words.daysCalculatedFrom}</dt><dd>{battery.capacity_basis}</dd></div>}
    </dl>
  );
}

export function WakeUpTable({ result, show }: { result: DrainResult; show: (fromS: number, toS: number) => void }) {
  if (result.wakeups.length === 0) return null;
  const listed = result.wakeups.slice(0, 200);
  return (
    <>
      <FigureTable name={words.tableOfWakeUps} heads={[words.wakeUp, words.at, words.length, words.peak, words.charge, words.wokenBy]}>
        <tbody>
          {listed.map((wake, index) => (
            <tr key={wake.start_s}>
              <th scope="row"><button type="button" class="link" aria-label={words.showWakeUpOn(index + 1)} onClick={() => show(wake.start_s - 10, wake.end_s + 10)}>{index + 1}</button></th>
              <td>{formatClock(wake.start_s)}</td><td>{formatDuration(wake.end_s - wake.start_s)}</td><td>{formatCurrent(wake.peak_a)}</td><td>{significant(wake.charge_c, 3)} C</td><td>{wake.cause === 'person' ? words.aPerson : wake.cause === 'fuse' ? words.aFuse : words.itself}</td>
            </tr>
          ))}
        </tbody>
      </FigureTable>
      {listed.length < result.wakeups.length && <p class="fine">{words.theFirstOf(listed.length, result.wakeups.length)}</p>}
    </>
  );
}
