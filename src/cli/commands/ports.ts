import { Command } from 'commander';
import { listPorts } from '../../daemon/sources/serial/ports.ts';
import { textTable } from '../table.ts';
import type { CliIo } from '../io.ts';
import { jsonOption, printResult, type JsonFlag } from '../result-output.ts';
import { language } from '../../core/present/language.ts';

const words = language.cli.commands.ports;

export function portsCommand(io: CliIo): Command {
  return new Command('ports')
    .description(words.serialDevicesSeenAnd)
    .addOption(jsonOption())
    .addHelpText('after', words.example)
    .action(async (options: JsonFlag) => {
      const ports = await listPorts();
      printResult(io, options, { ports }, () => (ports.length === 0 ? words.noSerialDeviceIs : textTable(['port', 'device', 'answer', ''], ports.map((port) => [port.path, port.description, port.answers, port.text]))));
    });
}
