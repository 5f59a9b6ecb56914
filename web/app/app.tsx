import { useSignalEffect } from '@preact/signals';
import type { JSX } from 'preact';
import { useEffect, useRef } from 'preact/hooks';
import { TestScreen } from '../test/test-screen.tsx';
import { link } from '../state/live.ts';
import { onLive } from '../state/live-messages.ts';
import { refreshStored } from '../state/stored.ts';
import { ReadScreen } from '../traces/read-screen.tsx';
import { TraceScreen } from '../traces/trace-screen.tsx';
import { TracesScreen } from '../traces/traces-screen.tsx';
import { KeyScreen } from './key-screen.tsx';
import { lazy } from './lazy.tsx';
import type { Route, ScreenName } from './route.ts';
import { route, STEPS } from './route.ts';
import { Shell } from './shell.tsx';
import { useFollowScenario } from './follow-scenario.ts';
import { language } from '../../src/core/present/language.ts';

const words = language.screens.app.app;

const CalibrateScreen = lazy(async () => (await import('../calibrate/calibrate-screen.tsx')).CalibrateScreen);
const CompareScreen = lazy(async () => (await import('../compare/compare-screen.tsx')).CompareScreen);
const JobScreen = lazy(async () => (await import('../job/job-screen.tsx')).JobScreen);
const ReportScreen = lazy(async () => (await import('../prove/report-screen.tsx')).ReportScreen);
const SetupScreen = lazy(async () => (await import('../set-up/setup-screen.tsx')).SetupScreen);
const TabletsScreen = lazy(async () => (await import('../tablets/tablets-screen.tsx')).TabletsScreen);

/** One screen per step of the job; nothing but the key is asked for while the daemon does not know this page. */
export function App() {
  const main = useRef<HTMLElement>(null);
  const first = useRef(true);
  useFollowScenario();
  useEffect(() => onLive('recorded', () => void refreshStored()), []);
  useEffect(() => onLive('stored', () => void refreshStored()), []);
  useSignalEffect(() => {
    if (link.value.state === 'open') void refreshStored();
  });
  const { screen, rest } = route.value;
  const where = `${screen}/${rest.join('/')}`;
  useEffect(() => {
    document.title = words.amptrail(titleOf(route.value));
    // after a step the keyboard starts at the new screen; not on opening, where nothing was left
    if (!first.current) main.current?.focus({ preventScroll: true });
    first.current = false;
    scrollTo(0, 0);
  }, [where]);
  const locked = link.value.state === 'no-token' || link.value.state === 'refused';
  return (
    <Shell>
      <main id="main" ref={main} tabIndex={-1}>{locked ? <KeyScreen /> : <Screen route={route.value} key={where} />}</main>
    </Shell>
  );
}

const SCREENS: Readonly<Record<ScreenName, (rest: readonly string[]) => JSX.Element>> = {
  job: ([jobId, part]) => <JobScreen jobId={jobId ?? null} part={part ?? ''} />,
  setup: () => <SetupScreen />,
  test: () => <TestScreen />,
  read: () => <ReadScreen />,
  trace: ([jobId, traceId]) => <TraceScreen jobId={jobId ?? ''} traceId={traceId ?? ''} />,
  compare: () => <CompareScreen />,
  prove: () => <ReportScreen />,
  calibrate: () => <CalibrateScreen />,
  traces: () => <TracesScreen />,
  tablets: () => <TabletsScreen />,
};

function Screen({ route: { screen, rest } }: { route: Route }) {
  return SCREENS[screen](rest);
}

function titleOf({ screen }: Route): string {
  if (screen === 'traces') return words.traces;
  if (screen === 'tablets') return words.tablets;
  if (screen === 'trace') return words.trace;
  if (screen === 'calibrate') return words.calibrate;
  return STEPS.find((step) => step.path === screen)?.name ?? words.test;
}
