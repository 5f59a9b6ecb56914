import { existsSync } from 'node:fs';

/** `npm run score`: how well the analyses do on generated traces they were not tuned to. Options: --test actuation|drain|compare, --tuning, --verbose, --seed N, --count N, --generator second, --situations, --coverage. */
if (process.argv.includes('--coverage')) {
  const { scoreCoverage } = await import('./coverage/main.ts');
  scoreCoverage(process.argv.slice(2));
  process.exit(0);
}
const only = process.argv.includes('--test') ? process.argv[process.argv.indexOf('--test') + 1] : undefined;
for (const test of ['actuation', 'drain', 'compare']) {
  if (only !== undefined && only !== test) continue;
  const file = new URL(`./${test}/main.ts`, import.meta.url);
  if (!existsSync(file)) continue;
  const module = (await import(file.href)) as { scoreAll(args: readonly string[]): Promise<void> | void };
  await module.scoreAll(process.argv.slice(2));
}
