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
import { language } from '../../core/present/language.ts';

const words = language.cli.commands.simulate;

interface Options {
  out?: string;
  seed: number;
  for?: number;
  truth?: string;
  list?: boolean;
}

export function simulateCommand(io: CliIo): Command {
  return new Command('simulate')
    .description(words.theBuiltInVirtual)
    .argument('[scenario]', words.aNameFromList)
    .option('--out <trace>', words.whereToWriteA)
    .option('--seed <n>', words.theSameSeedGives, readInteger('--seed', 0, 0xffff_ffff), 1)
    .option('--for <duration>', words.howLongInsteadOf, readDuration('--for'))
    .option('--truth <file>', words.alsoWriteWhatReally)
    .option('--list', words.oneScenarioALine)
    .addHelpText('after', words.example)
    .action(async (name: string | undefined, options: Options) => {
      if (options.list === true) {
        const width = Math.max(...SCENARIOS.map((scenario) => scenario.name.length));
        for (const scenario of SCENARIOS) io.out(`${scenario.name.padEnd(width)}  ${scenario.test.padEnd(9)}  ${scenario.title}\n`);
        return;
      }
      if (name === undefined) throw new UsageError(words.simulateNeedsTheName);
      const scenario = findScenario(name);
      if (scenario === undefined) throw new UsageError(words.thereIsNoScenario(name));
      if (options.out === undefined) throw new UsageError(words.simulateNeedsOutTrace);
      const { trace, marks, truth } = await run(scenario, options, io);
      const bar = progressBar(io, 'write');
      await writeTrace(options.out, trace, marks, { source: `sim:${scenario.name}`, title: scenario.title, test: scenario.test }, { signal: io.signal, progress: bar.update }).finally(bar.end);
      if (options.truth !== undefined) await writeFile(options.truth, `${JSON.stringify(truth, null, 2)}\n`);
      io.err(words.samplesWrittenTo(trace.timeS.length, options.out));
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
      stopped(io.signal, words.nothingWasWritten);
    }
  } finally {
    bar.end();
  }
}
