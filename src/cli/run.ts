import { Command, CommanderError } from 'commander';
import { analyseCommand } from './commands/analyse.ts';
import { calibrateCommand } from './commands/calibrate.ts';
import { compareCommand } from './commands/compare.ts';
import { convertCommand } from './commands/convert.ts';
import { fuseDropCommand } from './commands/fuse-drop.ts';
import { limitsCommand } from './commands/limits.ts';
import { nextCommand } from './commands/next.ts';
import { portsCommand } from './commands/ports.ts';
import { recordCommand } from './commands/record.ts';
import { reportCommand } from './commands/report.ts';
import { sensorCommand } from './commands/sensor.ts';
import { serveCommand } from './commands/serve.ts';
import { simulateCommand } from './commands/simulate.ts';
import { verifyCommand } from './commands/verify.ts';
import { EXIT, InputError, UsageError, type CliIo } from './io.ts';
import { VERSION } from '../daemon/version.ts';

/**
 * Runs one call of `amptrail` and returns its exit code: 0 did the job, 1 the input could not be used, 2 the words of the call are
 * wrong, 3 a finding or a passed limit when `--fail-on finding` was given. Never throws, never prints a stack trace.
 */
export async function runCli(args: readonly string[], io: CliIo): Promise<number> {
  let exitCode: number = EXIT.done;
  const finish = (code: number): void => {
    exitCode = code;
  };
  const program = new Command('amptrail')
    .description('Records the current of vehicle circuits, shows it, and explains what it says.')
    .version(VERSION)
    .helpCommand(false);
  for (const make of [
    serveCommand,
    portsCommand,
    recordCommand,
    analyseCommand,
    compareCommand,
    limitsCommand,
    reportCommand,
    convertCommand,
    verifyCommand,
    simulateCommand,
    fuseDropCommand,
    nextCommand,
    sensorCommand,
    calibrateCommand,
  ]) {
    program.addCommand(make(io, finish));
  }
  for (const command of [program, ...program.commands, ...program.commands.flatMap(({ commands }) => commands)]) {
    command.exitOverride().configureOutput({ writeOut: io.out, writeErr: io.err }).showHelpAfterError('(--help shows the options and an example)');
  }
  if (args.length === 0) {
    io.err(program.helpInformation());
    return EXIT.badCall;
  }
  try {
    await program.parseAsync([...args], { from: 'user' });
    return exitCode;
  } catch (error) {
    return explain(error, io);
  }
}

function explain(error: unknown, io: CliIo): number {
  if (error instanceof CommanderError) {
    return error.code === 'commander.helpDisplayed' || error.code === 'commander.version' || error.code === 'commander.help' ? EXIT.done : EXIT.badCall;
  }
  const text = error instanceof Error ? error.message : String(error);
  io.err(`amptrail: ${text}\n`);
  if (error instanceof UsageError) return EXIT.badCall;
  if (!(error instanceof InputError) && process.env['AMPTRAIL_DEBUG'] !== undefined && error instanceof Error) io.err(`${error.stack ?? ''}\n`);
  return EXIT.badInput;
}
