import { csvHeader, csvRows } from '../../src/core/tracefile/csv/csv.ts';
import { simulateTrace } from './simulate-trace.ts';
import type { SimulatedTrace } from '../../src/simulate/scenario.ts';
import { findScenario } from '../../src/simulate/scenarios.ts';

/** How each file in sample-traces/ is made; PROVENANCE.md there tells the same in words. */
export interface SampleTrace {
  readonly name: string;
  readonly scenario: string;
  readonly seed: number;
  readonly durationS: number;
  /** `own` = time_s,current_a,voltage_v; `spreadsheet` = as an office program in a country with decimal commas writes it */
  readonly form: 'own' | 'spreadsheet';
}

export const SAMPLE_TRACES: readonly SampleTrace[] = [
  { name: 'side-step-healthy', scenario: 'side-step-healthy', seed: 11, durationS: 9, form: 'own' },
  { name: 'side-step-jam', scenario: 'side-step-jam', seed: 11, durationS: 9, form: 'own' },
  { name: 'side-step-dragging', scenario: 'side-step-dragging', seed: 11, durationS: 10.5, form: 'own' },
  { name: 'side-step-broken-gear', scenario: 'side-step-broken-gear', seed: 11, durationS: 9, form: 'own' },
  { name: 'side-step-end-stop', scenario: 'side-step-end-stop', seed: 11, durationS: 9, form: 'own' },
  { name: 'flatbed-fuse-pulls', scenario: 'flatbed-fuse-pulls', seed: 11, durationS: 1140, form: 'own' },
  { name: 'van-quick-drain', scenario: 'van-quick-drain', seed: 11, durationS: 600, form: 'own' },
  { name: 'spreadsheet-side-step-jam', scenario: 'side-step-jam', seed: 12, durationS: 7, form: 'spreadsheet' },
];

export function simulateSample(sample: SampleTrace): SimulatedTrace {
  const scenario = findScenario(sample.scenario);
  if (scenario === undefined) throw new Error(`no scenario ${sample.scenario}`);
  return simulateTrace(scenario, sample.seed, sample.durationS);
}

/** The files of one sample, name to text. */
export function sampleFiles(sample: SampleTrace): Map<string, string> {
  const { trace, marks, truth } = simulateSample(sample);
  const files = new Map<string, string>();
  const withVoltage = trace.voltageV !== null;
  const text = sample.form === 'own' ? csvHeader(withVoltage) + csvRows(trace, withVoltage) : spreadsheetCsv(trace);
  files.set(`${sample.name}.csv`, text);
  files.set(`${sample.name}.labels.json`, `${JSON.stringify(truth, null, 2)}\n`);
  if (marks.length > 0) {
    const rows = marks.map((mark) => `${mark.timeS.toFixed(2)},${mark.label},${mark.kind}\n`);
    files.set(`${sample.name}.marks.csv`, `time_s,label,kind\n${rows.join('')}`);
  }
  return files;
}

/** Byte-order mark, semicolons, quoted numbers with decimal commas, CRLF; milliseconds and milliamps. */
function spreadsheetCsv({ timeS, currentA, voltageV }: SimulatedTrace['trace']): string {
  const cell = (value: number, decimals: number): string => `"${value.toFixed(decimals).replace('.', ',')}"`;
  let text = '\uFEFF"Zeit";"Strom";"Spannung"\r\n';
  for (let i = 0; i < timeS.length; i++) {
    text += `${cell(timeS[i] * 1000, 1)};${cell(currentA[i] * 1000, 0)};${cell(voltageV === null ? 0 : voltageV[i], 2)}\r\n`;
  }
  return text;
}
