import { Command } from 'commander';
import { fuseDropCurrent, FUSE_ROWS, type FuseType } from '../../core/reference/fuse-drop.ts';
import { formatCurrent, formatCurrentBounds } from '../../core/units.ts';
import { readNumber } from '../arguments.ts';
import { InputError, UsageError, type CliIo } from '../io.ts';
import { bullet, textTable } from '../table.ts';

interface Flags {
  type?: string;
  rating?: number;
  millivolts?: number;
  json?: boolean;
  list?: boolean;
}

export function fuseDropCommand(io: CliIo): Command {
  return new Command('fuse-drop')
    .description('the current through a blade fuse from the millivolts across it, no fuse pulled')
    .option('--type <kind>', 'ato, mini or maxi')
    .option('--rating <a>', 'the number on the fuse, A', readNumber('--rating', 0.5, 500))
    .option('--millivolts <mv>', 'what the meter shows across the fuse', readNumber('--millivolts', -1e5, 1e5))
    .option('--json', 'one JSON document')
    .option('--list', 'the fuses whose resistance is known, with the source of each')
    .addHelpText('after', '\nExample:\n  amptrail fuse-drop --type ato --rating 10 --millivolts 0.3\n')
    .action((flags: Flags) => {
      if (flags.list === true) {
        io.out(textTable(['type', 'rating A', 'cold mohm', 'source'], FUSE_ROWS.map((row) => [row.type, String(row.ratingA), (row.coldOhm * 1000).toFixed(2), row.source])));
        return;
      }
      const { type, rating, millivolts } = flags;
      if (type !== 'ato' && type !== 'mini' && type !== 'maxi') throw new UsageError(`--type is ato, mini or maxi${type === undefined ? '' : `, not "${type}"`}`);
      if (rating === undefined || millivolts === undefined) throw new UsageError('fuse-drop needs --rating and --millivolts');
      const drop = fuseDropCurrent(type satisfies FuseType, rating, millivolts / 1000);
      if (typeof drop === 'string') throw new InputError(drop);
      if (flags.json === true) {
        io.out(`${JSON.stringify({ current_a: drop.currentA, low_a: drop.lowA, high_a: drop.highA, source: drop.source, warnings: drop.warnings })}\n`);
        return;
      }
      io.out(`${formatCurrent(drop.currentA)}, between ${formatCurrentBounds(drop.currentA, drop.lowA, drop.highA).replace(/^[^(]*\(|\)$/g, '')} ${Math.max(Math.abs(drop.lowA), Math.abs(drop.highA)) < 0.9995 ? 'mA' : 'A'}\n`);
      for (const warning of drop.warnings) io.out(bullet(warning));
      io.out(`resistance: ${drop.source}\n`);
    });
}
