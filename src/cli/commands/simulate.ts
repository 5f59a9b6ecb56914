import { writeFile } from 'node:fs/promises';
import { setImmediate } from 'node:timers/promises';
import { Command } from 'commander';
import { findScenario, SCENARIOS } from '../../simulate/scenarios.ts';
import { simulateSteps } from '../../simulate/run.ts';
import type { Scenario, SimulatedTrace } from '../../simulate/scenario.ts';
import { readDuration, readInteger } from '../arguments.ts';
import { writeTrace } from '../write-trace.ts';
import { progressBar } from '../progress.ts';
import { stopped, UsageError, type CliIo } from '../io.ts';

interface Options {
  out?: string;
  seed: number;
  for?: number;
  truth?: string;
  list?: boolean;
}

export function simulateCommand(io: CliIo): Command {
  return new Command('simulate')
    .description('the built-in virtual vehicle writes a trace')
    .argument('[scenario]', 'a name from --list')
    .option('--out <trace>', 'where to write: a folder, .csv or .arrows')
    .option('--seed <n>', 'the same seed gives the same trace', readInteger('--seed', 0, 0xffff_ffff), 1)
    .option('--for <duration>', 'how long, instead of the whole story', readDuration('--for'))
    .option('--truth <file>', 'also write what really happened, as JSON')
    .option('--list', 'one scenario a line, its name first')
    .addHelpText('after', '\nExample:\n  amptrail simulate side-step-jam --out jam.csv --seed 7\n')
    .action(async (name: string | undefined, options: Options) => {
      if (options.list === true) {
        const width = Math.max(...SCENARIOS.map((scenario) => scenario.name.length));
        for (const scenario of SCENARIOS) io.out(`${scenario.name.padEnd(width)}  ${scenario.test.padEnd(9)}  ${scenario.title}\n`);
        return;
      }
      if (name === undefined) throw new UsageError('simulate needs the name of a scenario; amptrail simulate --list shows them');
      const scenario = findScenario(name);
      if (scenario === undefined) throw new UsageError(`there is no scenario "${name}"; amptrail simulate --list shows them`);
      if (options.out === undefined) throw new UsageError('simulate needs --out TRACE: a folder, or a file ending in .csv or .arrows');
      const { trace, marks, truth } = await run(scenario, options, io);
      await writeTrace(options.out, trace, marks, { source: `sim:${scenario.name}`, title: scenario.title, test: scenario.test }, io.signal);
      if (options.truth !== undefined) await writeFile(options.truth, `${JSON.stringify(truth, null, 2)}\n`);
      io.err(`${trace.timeS.length} samples written to ${options.out}\n`);
    });
}

/** The story in short steps: after each Ctrl-C is heard, and the bar moves. */
async function run(scenario: Scenario, { seed, for: durationS }: Options, io: CliIo): Promise<SimulatedTrace> {
  const bar = progressBar(io, 'simulate');
  const steps = simulateSteps(scenario, seed, durationS);
  try {
    for (;;) {
      const step = steps.next();
      if (step.done === true) return step.value;
      bar.update(step.value);
      await setImmediate();
      stopped(io.signal, 'nothing was written');
    }
  } finally {
    bar.end();
  }
}
