import { language } from '../../src/core/present/language.ts';
import type { CheckCode } from '../../src/core/reason/checks.ts';
import { CHECKS } from '../../src/core/reason/checks.ts';
import type { JobRecord } from '../../src/core/tracefile/record.ts';
import type { JobNext } from '../../src/core/wire/api.ts';
import type { HelpTopic } from '../../src/core/present/texts/help-texts.ts';
import { Allowed } from '../app/allowed.tsx';
import { go, route } from '../app/route.ts';
import { choosePairOf } from '../compare/choice.ts';
import { Help } from '../help/help.tsx';
import { changeSettings, send } from '../state/actions.ts';
import { hello, recording, simulated, source } from '../state/live.ts';
import { traces } from '../state/stored.ts';
import { answer, change } from './case-state.ts';

const words = language.screens.job.nextCard;

type NextView = NonNullable<JobNext['next']>;

/** Checks made with the logger, and the pages on which the others are written down. */
const RECORDED: Readonly<Partial<Record<CheckCode, 'actuation' | 'drain'>>> = { 'record-press': 'actuation', uncouple: 'actuation', 'record-night': 'drain' };
const PARTS: Readonly<Partial<Record<CheckCode, string>>> = {
  'fuse-volts': 'volts', 'switch-volts': 'volts', 'module-volts': 'volts', 'motor-volts': 'volts', 'way-back': 'volts', 'ground-volts': 'volts', 'drop-walk': 'volts', 'rested-volts': 'volts', 'charging-volts': 'volts',
  reversal: 'reversal', 'pull-fuses': 'fuses',
};

const VOLTS: readonly HelpTopic[] = ['voltage-lead'];
/** How to do it, where a drawing says more than the sentence. */
const HELP: Readonly<Partial<Record<CheckCode, readonly HelpTopic[]>>> = {
  'record-press': ['clamp', 'one-wire', 'voltage-lead'], uncouple: ['clamp'], 'record-night': ['battery-cable', 'bypass', 'sleep'], 'pull-fuses': ['bypass'], refit: ['sleep'],
  'motor-volts': VOLTS, 'way-back': VOLTS, 'drop-walk': VOLTS, reversal: VOLTS,
};

/** The one check that decides most for the least work: what to do, where, what each result would leave. One tap sets it up. */
export function NextCard({ job }: { job: JobRecord }) {
  const now = answer.value;
  if (now === null) return null;
  if (isOnlyComplaint(job, now)) return <KindQuestion job={job} />;
  const { next, proof } = now;
  if (next === null) {
    const state = proof?.state ?? 'none';
    const again = state === 'not-tested' || state === 'cannot-tell' || state === 'still-open';
    return (
      <section class="plate next" aria-label={words.nextCheck}>
        <h2>{words.nextCheck}</h2>
        <p>{state === 'none' ? language.reason.noNext(likeliestOf(now)) : (TEXTS[state] ?? words.nothingMoreToCheck)}</p>
        {state === 'not-tested' && <VirtualRepair />}
        <div class="form-end">
          {state === 'none' && <button type="button" class="button" onClick={() => go('job', job.id, 'repair')}>{words.writeDownTheRepair}</button>}
          {again && <Allowed to="work"><button type="button" class={state === 'still-open' ? 'button button-quiet' : 'button'} onClick={() => setUp(job, now.test)}>{words.setItUp}</button></Allowed>}
          {state === 'cannot-tell' && <button type="button" class="button button-quiet" onClick={() => {
            choosePairOf(traces.value ?? [], job, now.test);
            go('compare');
          }}>{words.compare}</button>}
          {state !== 'none' && state !== 'not-tested' && route.value.rest[1] !== 'repair' && <button type="button" class="button button-quiet" onClick={() => go('job', job.id, 'repair')}>{words.repairAndProof}</button>}
        </div>
      </section>
    );
  }
  return (
    <section class="plate next" aria-label={words.nextCheck} data-check={next.code}>
      <h2>{words.nextCheck}</h2>
      <p class="next-do">{next.check}</p>
      <p class="next-where">{next.where}</p>
      {HELP[next.code as CheckCode] !== undefined && <Help topics={HELP[next.code as CheckCode]!} />}
      <table class="figures next-decides">
        <thead><tr><th scope="col">{words.result}</th><th scope="col">{words.leavesOpen}</th></tr></thead>
        <tbody>{next.decides.map(({ result, leaves }) => <tr key={result}><th scope="row">{result}</th><td>{leaves.map((cause) => language.reason.causes[cause].toLowerCase()).join(', ')}</td></tr>)}</tbody>
      </table>
      <Begin job={job} next={next} />
    </section>
  );
}

/** Nothing was recorded or seen yet, and nobody has said which kind it is: a guess would send a flat battery to a motor's wire. */
function isOnlyComplaint({ test, signs }: JobRecord, { causes }: JobNext): boolean {
  return test === null && Object.keys(signs).length === 0 && causes.every(({ because }) => because[0] === language.reason.nothingYet);
}

function KindQuestion({ job }: { job: JobRecord }) {
  return (
    <section class="plate next" aria-label={words.nextCheck}>
      <h2>{words.whatIsItAbout}</h2>
      <Allowed to="change"><div class="choice">{KINDS.map(({ test, name, hint }) => (
        <button type="button" class="button button-quiet kind" key={test} onClick={() => void change(job, () => ({ test }))}><b>{name}</b><span>{hint}</span></button>
      ))}</div></Allowed>
    </section>
  );
}

const { setupScreen } = language.screens.setUp;
const KINDS = [
  { test: 'actuation', name: setupScreen.motorOrMechanism, hint: setupScreen.itHardlyMovesStops },
  { test: 'drain', name: setupScreen.keyOffDrain, hint: setupScreen.theBatteryIsFlat },
] as const;

/** What to do where no check is left, by what the traces after the repair prove. */
const TEXTS: Readonly<Record<string, string>> = { 'not-tested': words.recordTheSameTest, 'cannot-tell': words.notShownYet, 'still-open': words.stillThere };

/** The cause that comes first; null where none is open any more. */
function likeliestOf({ causes }: JobNext): string | null {
  const first = causes[0];
  return first === undefined || first.state !== 'open' ? null : language.reason.causes[first.cause].toLowerCase();
}

/** A hand that repairs the built-in vehicle, where there is a healthy one of its kind. */
function VirtualRepair() {
  const scenario = source.value?.logger?.controls?.scenario ?? '';
  const healthy = hello.value?.scenarios.find(({ name }) => name.endsWith(HEALTHY) && scenario.startsWith(name.slice(0, -HEALTHY.length)));
  if (!simulated.value || healthy === undefined || healthy.name === scenario) return null;
  return (
    <Allowed to="work"><p class="next-virtual">{words.virtual} <button type="button" class="button button-quiet" disabled={recording.value !== null} onClick={() => send({ type: 'source', do: 'choose', spec: `sim:${healthy.name}` })}>{words.repairTheVirtual}</button></p></Allowed>
  );
}

/** How the virtual vehicles without a fault are named. */
const HEALTHY = '-healthy';

/** A sign is answered here; a recording is set up; volts are typed in on their own page. */
function Begin({ job, next }: { job: JobRecord; next: NextView }) {
  const code = next.code as CheckCode;
  const sign = signOf(code);
  const test = RECORDED[code];
  const part = PARTS[code];
  return (
    <div class="form-end">
      {sign !== null && <Allowed to="change">{(['yes', 'no'] as const).map((given) => (
        <button type="button" class="button button-quiet" key={given} onClick={() => void change(job, ({ signs }) => ({ signs: { ...signs, [sign]: given } }), [sign])}>{capital(language.checks[code].outcomes[given] ?? given)}</button>
      ))}</Allowed>}
      {test !== undefined && <Allowed to="work"><button type="button" class="button" onClick={() => setUp(job, test, code === 'uncouple' ? words.motorAlone : '')}>{words.setItUp}</button></Allowed>}
      {part !== undefined && <button type="button" class="button" onClick={() => go('job', job.id, part)}>{words.setItUp}</button>}
      {code === 'pull-fuses' && <Allowed to="work"><button type="button" class="button button-quiet" onClick={() => setUp(job, 'drain')}>{words.pullFusesWhileRecording}</button></Allowed>}
    </div>
  );
}

/** The sign that a check answers, found by trying it: its outcome changes one sign. */
function signOf(code: CheckCode): keyof JobRecord['signs'] | null {
  const check = CHECKS.find((one) => one.code === code);
  const signs = check?.outcomes[0]?.after({ test: check.test, signs: {}, seen: [], readings: [] }).signs ?? {};
  return (Object.keys(signs)[0] as keyof JobRecord['signs'] | undefined) ?? null;
}

function setUp(job: JobRecord, test: 'actuation' | 'drain', title = ''): void {
  changeSettings({ test, jobId: job.id, ...(title === '' ? {} : { title }) });
  go('setup');
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
