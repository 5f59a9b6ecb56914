import type { RowRefusal } from '../core/tracefile/csv/rows.ts';
import { Command, CommanderError } from 'commander';
import { EXIT, InputError, StoppedError, UsageError, type CliIo } from './io.ts';
import { VERSION } from '../daemon/version.ts';
import { language } from '../core/present/language.ts';

const words = language.cli.results.run;

type MakeCommand = (io: CliIo, finish: (code: number) => void) => Command;

/** In the order of the help. A call loads the command it names and no other: most of a short call's time would be the loading of the rest. */
const COMMANDS: Readonly<Record<string, () => Promise<MakeCommand>>> = {
  serve: async () => (await import('./commands/serve.ts')).serveCommand,
  ports: async () => (await import('./commands/ports.ts')).portsCommand,
  record: async () => (await import('./commands/record.ts')).recordCommand,
  analyse: async () => (await import('./commands/analyse.ts')).analyseCommand,
  compare: async () => (await import('./commands/compare.ts')).compareCommand,
  limits: async () => (await import('./commands/limits.ts')).limitsCommand,
  report: async () => (await import('./commands/report.ts')).reportCommand,
  convert: async () => (await import('./commands/convert.ts')).convertCommand,
  verify: async () => (await import('./commands/verify.ts')).verifyCommand,
  simulate: async () => (await import('./commands/simulate.ts')).simulateCommand,
  'fuse-drop': async () => (await import('./commands/fuse-drop.ts')).fuseDropCommand,
  next: async () => (await import('./commands/next.ts')).nextCommand,
  sensor: async () => (await import('./commands/sensor.ts')).sensorCommand,
  calibrate: async () => (await import('./commands/calibrate.ts')).calibrateCommand,
};

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
    .description(words.recordsTheCurrentOf)
    .version(VERSION, '-V, --version', words.outputVersion)
    .helpCommand(false);
  for (const name of commandsFor(args)) program.addCommand((await COMMANDS[name]!())(io, finish));
  for (const command of [program, ...program.commands, ...program.commands.flatMap(({ commands }) => commands)]) {
    command.exitOverride().showHelpAfterError(words.helpShowsTheOptions).helpOption('-h, --help', words.displayHelp);
    command.configureOutput({ writeOut: io.out, writeErr: io.err, outputError: (text, write) => write(refusalOf(text)) });
    command.configureHelp({ styleTitle: (title) => words.titles[title as keyof typeof words.titles] ?? title });
    if (command.commands.length > 0 && command !== program) command.helpCommand('help [command]', words.displayHelp);
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

/** What the parser of the call says is wrong with it, as we say it: each sentence of its own with what it names in quotes. */
const REFUSALS: readonly (readonly [RegExp, (name: string) => string])[] = [
  [/^error: unknown option '(.*)'/, words.unknownOption],
  [/^error: unknown command '(.*)'/, words.unknownCommand],
  [/^error: missing required argument '(.*)'/, words.missingArgument],
  [/^error: required option '(.*)' not specified/, words.missingOption],
  [/^error: option '(.*)' argument missing/, words.missingValue],
];

function refusalOf(text: string): string {
  for (const [pattern, say] of REFUSALS) {
    const match = pattern.exec(text);
    if (match !== null) return `${say(match[1] ?? '')}${text.slice(match[0].length)}`;
  }
  return text;
}

/** These have something to close: a recording, a port, a half-written file. */
const CLOSES_FIRST: ReadonlySet<string> = new Set(['serve', 'ports', 'record', 'convert', 'simulate', 'report', 'calibrate', 'sensor', 'limits']);

/** Whether Ctrl-C must be heard by the command itself. The others only read and print: the system ends them at once, in the middle of whatever they reckon. */
export function closesFirst(args: readonly string[]): boolean {
  return CLOSES_FIRST.has(args[0] ?? '');
}

/** The one that is called; none for the version; all for the help and for a word that is no command. */
function commandsFor(args: readonly string[]): readonly string[] {
  const first = args[0] ?? '';
  if (Object.hasOwn(COMMANDS, first)) return [first];
  return args.length === 1 && (first === '--version' || first === '-V') ? [] : Object.keys(COMMANDS);
}

/** Faults of single rows, which a CSV file can be read without. */
const ROW_FAULTS: ReadonlySet<unknown> = new Set(['bad-row', 'time-not-rising'] satisfies RowRefusal['code'][]);

function explain(error: unknown, io: CliIo): number {
  if (error instanceof CommanderError) {
    return error.code === 'commander.helpDisplayed' || error.code === 'commander.version' || error.code === 'commander.help' ? EXIT.done : EXIT.badCall;
  }
  const text = error instanceof Error ? error.message : String(error);
  const leaveOut = error instanceof Error && 'code' in error && ROW_FAULTS.has(error.code) ? words.toLeaveThemOut : '';
  io.err(`amptrail: ${text}${leaveOut}\n`);
  if (error instanceof UsageError) return EXIT.badCall;
  if (error instanceof StoppedError || isCancelled(error)) return EXIT.stopped;
  if (!(error instanceof InputError) && process.env['AMPTRAIL_DEBUG'] !== undefined && error instanceof Error) io.err(`${error.stack ?? ''}\n`);
  return EXIT.badInput;
}

/** Ctrl-C, as the store says it (StoreError, which is not loaded for this alone). */
function isCancelled(error: unknown): boolean {
  return error instanceof Error && 'code' in error && error.code === 'cancelled';
}
