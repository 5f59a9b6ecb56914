import { useComputed, useSignalEffect } from '@preact/signals';
import { useMemo } from 'preact/hooks';
import { ChartState } from '../chart/chart-state.ts';
import { LiveSource } from '../chart/chart-source.ts';
import { ChartTools } from '../chart/chart-tools.tsx';
import { happenedIn, momentsOf } from '../chart/happened.ts';
import { limitLines } from '../chart/plot/limit-lines.ts';
import { TimeLane } from '../chart/time-lane.tsx';
import { TraceChart } from '../chart/trace-chart.tsx';
import { chargeOfLive } from '../net/api.ts';
import { DrainGuide } from './night/drain-guide.tsx';
import { nextFuseAction } from './night/next-fuse.ts';
import { Allowed } from '../app/allowed.tsx';
import { ActuationList } from '../reading/actuation-list.tsx';
import { Measures } from '../reading/measures.ts';
import { ReadingCard } from '../reading/reading-card.tsx';
import { Ribbon } from '../ribbon/ribbon.tsx';
import { ribbonSegments } from '../../src/core/present/wording/ribbon.ts';
import { formatDuration, language } from '../../src/core/present/language.ts';
import { withFigures } from '../../src/core/present/wording/stretch-words.ts';
import { freshness, gaps, hasReading, isDrain, isVirtual, liveBuffer, marks, originS, recording, result, settings } from '../state/live.ts';
import { flagCount, flagsNow } from '../state/live-flags.ts';
import { ArmPanel } from './arm-panel.tsx';
import { FindingLine } from './finding-line.tsx';
import { BigFigures, oldWords } from './figures.tsx';
import { FlagList, SoundSwitch } from './flags.tsx';
import { Marking } from './marking.tsx';
import { NightPanel, NotRecordingBand } from './night/night-panel.tsx';
import { OddLines } from './odd-lines.tsx';
import { Notices } from './notices.tsx';
import { RecordPlate } from './record-plate.tsx';
import { LiveSelection } from './selection.tsx';
import { WideFiguresButton } from './wide-figures.tsx';
import { VirtualVehicle } from './virtual-vehicle.tsx';

const words = language.screens.test.testScreen;

let kept: ChartState | null = null;
/** of the stretches on the live chart */
const measures = new Measures(chargeOfLive);

/** The live chart's state outlives a visit to another screen. */
function liveChart(): ChartState {
  kept ??= new ChartState(new LiveSource(), true, originS);
  return kept;
}

/** Live: figures, chart, ribbon, reading card; everything a hand needs beside the vehicle. */
export function TestScreen() {
  const state = useMemo(liveChart, []);
  const latest = result.value;
  const limits = useMemo(() => limitLines(settings.value), [settings.value]);
  const segments = useComputed(() => {
    const seen = result.value;
    const endS = Number.isNaN(liveBuffer.endS) ? 0 : liveBuffer.endS;
    measures.want(marks.value);
    return withFigures(ribbonSegments(seen?.result ?? null, seen?.offsetS ?? 0, marks.value, gaps.value, endS), measures.known.value);
  });
  useSignalEffect(() => {
    state.happened.value = happenedIn(result.value?.result ?? null, result.value?.offsetS ?? 0, recording.value?.startS ?? null);
  });
  useSignalEffect(() => keepWithTest(state, isDrain.value));
  const flags = useMemo(() => flagsNow().map((flag) => ({ fromS: flag.startS, toS: flag.endS })), [flagCount.value, latest]);
  const moments = useMemo(() => momentsOf(marks.value), [marks.value]);
  const show = (fromS: number, toS: number): void => state.show(fromS, toS);
  const waiting = !hasReading.value ? words.theCardFillsAs
    : isDrain.value ? words.theNightHasJust
    : isVirtual.value ? words.theVirtualVehicleWorks : words.workTheSwitchEach;
  return (
    <>
      <h1 class="unseen">{words.test}</h1>
      <NotRecordingBand />
      <Notices />
      <Allowed to="work"><OddLines /></Allowed>
      <div class={isDrain.value ? 'test test-night' : 'test'} onClick={leaveToSpace}>
        <div class="test-main">
          <div class="test-top"><BigFigures /><Allowed to="work"><RecordPlate /></Allowed></div>
          <FindingLine />
          <div class="plate stage">
            <ChartTools state={state} live>{settings.value?.test === 'actuation' && <SoundSwitch />}<WideFiguresButton /></ChartTools>
            <TraceChart state={state} limits={limits} flags={flags} marks={moments} name={words.liveCurrentAndVoltage} stopped={stoppedWords()} />
            <Ribbon state={state} segments={segments.value} />
            <TimeLane state={state} />
          </div>
          <LiveSelection state={state} />
        </div>
        <div class="test-below">
          <div class="hands"><Marking held={state.heldS} primary={isDrain.value ? nextFuseAction() : null} /><VirtualVehicle /></div>
          <Allowed to="work"><ArmPanel /></Allowed>
        </div>
        <div class="test-side">
          {isDrain.value && <NightPanel />}
          {isDrain.value && <DrainGuide />}
          <ReadingCard result={latest?.result ?? null} waiting={waiting} live old={hasReading.value ? '' : oldWords()} />
          {latest?.result.test === 'actuation' && <ActuationList result={latest.result} offsetS={latest.offsetS} show={show} live={hasReading.value} />}
          <FlagList show={show} />
        </div>
      </div>
    </>
  );
}

let keptTest: boolean | null = null;

/** A night is looked at as a whole, a motor as it moves; what a hand has chosen since stays. */
function keepWithTest(state: ChartState, drain: boolean): void {
  if (keptTest === drain) return;
  keptTest = drain;
  state.reachFor(drain ? 'all' : 'now');
}

/** Why the live chart does not move any more. */
function stoppedWords(): string {
  const { state, ageS } = freshness.value;
  return state === 'fresh' ? '' : language.pages.old[state].chart(ageS === null ? null : formatDuration(ageS));
}

/** A button pressed by hand gives the keyboard back, so that space marks and does not press it again; keys keep their place. */
function leaveToSpace(event: MouseEvent): void {
  if (event.detail > 0 && event.target instanceof Element) event.target.closest<HTMLElement>('button, summary')?.blur();
}
