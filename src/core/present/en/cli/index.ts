import { commands } from './commands.ts';
import { results } from './results.ts';

/** The words of the command line. Another language satisfies `typeof cli`. */
export const cli = { commands, results };
