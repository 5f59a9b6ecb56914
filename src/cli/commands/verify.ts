import { Command } from 'commander';
import { mendTrace } from '../../daemon/store/samples/mend.ts';
import { verifyTrace } from '../../daemon/store/samples/verify.ts';
import { progressBar } from '../progress.ts';
import { type CliIo, InputError } from '../io.ts';

export function verifyCommand(io: CliIo): Command {
  return new Command('verify')
    .description('checks every block of a trace and says which time ranges are damaged')
    .argument('<trace>', 'a trace folder, or a file ending in .arrows or .csv')
    .option('--mend', 'repair first what a start of the daemon would: close a recording that was cut, make a lost index again')
    .option('--json', 'one JSON document')
    .addHelpText('after', '\nExit codes: 0 every block is whole and the recording is closed; 1 damaged, not closed, or not readable; 2 the words of the call are wrong.\nWith --mend they speak of the trace after the repair. Damaged samples cannot be made whole; the rest stays usable.\n\nExample:\n  amptrail verify jobs/unfiled/2026-11-25T06-30-00Z\n')
    .action(async (path: string, options: { json?: boolean; mend?: boolean }) => {
      if (options.mend === true) for (const text of await mendTrace(path)) io.err(`${text}\n`);
      const bar = progressBar(io, 'verify');
      const report = await verifyTrace(path, bar.update, io.signal);
      bar.end();
      if (options.json === true) io.out(`${JSON.stringify(report)}\n`);
      else {
        for (const range of report.damaged) io.out(`damaged: ${range.start_s.toFixed(3)} s to ${range.end_s.toFixed(3)} s: ${range.text}\n`);
        for (const problem of report.problems) io.out(`${problem.text}\n`);
        io.out(report.ok ? `whole: ${report.blocks} blocks, ${report.samples} samples\n` : `${report.damaged.length} damaged, ${report.samples} samples still readable\n`);
      }
      if (!report.ok) throw new InputError(`${path} is damaged or was not closed; what is whole can still be analysed and converted`);
    });
}
