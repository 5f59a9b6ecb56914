import { SCENARIOS, findScenario } from '../../simulate/scenarios.ts';
import type { Scenario } from '../../simulate/scenario.ts';
import { openTrace } from '../store/samples/reading/trace-reader.ts';
import { AutoSource } from './auto-source.ts';
import { ReplaySource, type ReplayTrace } from './replay-source.ts';
import { serialPorts, type PortAccess } from './serial/serial-port.ts';
import { SerialSource } from './serial/serial-source.ts';
import { SimSource } from './sim-source.ts';
import type { Source } from './source.ts';
import { parseSpec, SourceSpecError } from './spec.ts';
import { SYSTEM_TIMING, type Timing } from './timing.ts';
import { language } from '../../core/present/language.ts';

const words = language.daemon.sources.openSource;

export { parseSpec, SourceSpecError } from './spec.ts';

/** Shown where no logger answers: a fault to find, so that a first look ends in a finding. */
const DEMO_SCENARIO = 'side-step-jam';

/** What sources need; tests bring their own. */
interface SourceDeps {
  readonly ports?: PortAccess;
  readonly timing?: Timing;
  readonly openTrace?: (path: string) => Promise<ReplayTrace>;
}

/** Makes the source a spec names. Throws SourceSpecError, whose text says what is wrong with the words; anything else shows in its state. */
export function openSource(spec: string, deps: SourceDeps = {}): Source {
  const parsed = parseSpec(spec);
  const timing = deps.timing ?? SYSTEM_TIMING;
  switch (parsed.kind) {
    case 'serial':
      return new SerialSource({ spec, path: parsed.path, baud: parsed.baud, columns: parsed.columns }, deps.ports ?? serialPorts(), timing);
    case 'sim':
      return new SimSource(scenarioNamed(parsed.scenario), { spec, speed: parsed.speed, seed: parsed.seed }, timing);
    case 'replay':
      return new ReplaySource({ spec, path: parsed.path, speed: parsed.speed }, deps.openTrace ?? openTrace, timing);
    default:
      return new AutoSource(deps.ports ?? serialPorts(), timing, (because) => new SimSource(scenarioNamed(DEMO_SCENARIO), { spec, speed: 1, seed: 1, because }, timing));
  }
}

function scenarioNamed(name: string): Scenario {
  const scenario = findScenario(name);
  if (scenario !== undefined) return scenario;
  throw new SourceSpecError(words.thereIsNoScenario(name.slice(0, 60), SCENARIOS.map((known) => known.name).join(', ')));
}
