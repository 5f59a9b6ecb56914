import { Command } from 'commander';
import { listPorts } from '../../daemon/sources/serial/ports.ts';
import { textTable } from '../table.ts';
import type { CliIo } from '../io.ts';
import { en } from '../../core/present/en/index.ts';

const words = en.cli.commands.ports;

export function portsCommand(io: CliIo): Command {
  return new Command('ports')
    .description(words.serialDevicesSeenAnd)
    .option('--json', words.oneJsonDocument)
    .addHelpText('after', words.example)
    .action(async (options: { json?: boolean }) => {
      const ports = await listPorts();
      if (options.json === true) {
        io.out(`${JSON.stringify({ ports })}\n`);
        return;
      }
      if (ports.length === 0) {
        io.out(words.noSerialDeviceIs);
        return;
      }
      io.out(textTable(['port', 'device', 'answer', ''], ports.map((port) => [port.path, port.description, port.answers, port.text])));
    });
}
