import { Command } from 'commander';
import { listPorts } from '../../daemon/sources/ports.ts';
import { textTable } from '../table.ts';
import type { CliIo } from '../io.ts';

export function portsCommand(io: CliIo): Command {
  return new Command('ports')
    .description('serial devices seen, and for each whether a logger answers')
    .option('--json', 'one JSON document')
    .addHelpText('after', '\nExample:\n  amptrail ports\n')
    .action(async (options: { json?: boolean }) => {
      const ports = await listPorts();
      if (options.json === true) {
        io.out(`${JSON.stringify({ ports })}\n`);
        return;
      }
      if (ports.length === 0) {
        io.out('No serial device is seen. Plug the logger in; if it still does not show, try another cable (some only charge) and another socket.\n');
        return;
      }
      io.out(textTable(['port', 'device', 'answer', ''], ports.map((port) => [port.path, port.description, port.answers, port.text])));
    });
}
