import { parseArgs } from 'node:util';
import { seededRandom } from '../../src/core/random.ts';
import { ATTACKS, runAttack } from './all.ts';
import type { Figure } from './attack.ts';

/**
 * `npm run attack [-- --minutes 10 --only NAME --seed N]`: attacks a daemon of its own on this machine, for so long in all, and prints
 * what came of it. Nothing leaves the machine: every connection goes to 127.0.0.1. Exit 1 when a promise was broken.
 */
const { values } = parseArgs({ options: { minutes: { type: 'string', default: '10' }, only: { type: 'string' }, seed: { type: 'string', default: '1' } } });
const minutes = Number(values.minutes);
if (!(minutes > 0 && minutes <= 60)) {
  console.error('--minutes: a number above 0, at most 60.');
  process.exit(2);
}
const chosen = ATTACKS.filter(({ name }) => values.only === undefined || name.includes(values.only));
if (chosen.length === 0) {
  console.error(`--only: there is no such attack. There are: ${ATTACKS.map(({ name }) => name).join(', ')}.`);
  process.exit(2);
}
/** starting, waiting and clearing up take the rest */
const ATTACKING_SHARE = 0.7;
const endMs = performance.now() + minutes * 60_000;
setTimeout(() => {
  console.error('The time is over before the attacks were: one of them did not end.');
  process.exit(1);
}, minutes * 60_000).unref();

const random = seededRandom(Number(values.seed));
let broken = 0;
for (const [i, attack] of chosen.entries()) {
  // of what is left, so that one that began late makes the others shorter, not the whole longer
  const sharesLeft = chosen.slice(i).reduce((sum, { share }) => sum + share, 0);
  const forMs = (attack.share / sharesLeft) * Math.max(0, endMs - performance.now()) * ATTACKING_SHARE;
  const figures = await runAttack(attack, forMs, random);
  console.log(`\n${attack.name}`);
  for (const figure of figures) console.log(`  ${lineOf(figure)}`);
  broken += figures.filter(({ kept }) => kept === false).length;
}
console.log(broken === 0 ? '\nEvery promise was kept.' : `\n${broken} promises were BROKEN.`);
process.exitCode = broken === 0 ? 0 : 1;

function lineOf({ what, value, unit, promise, kept }: Figure): string {
  const figure = `${Number(value.toPrecision(4))} ${unit}`.trim();
  return `${kept === false ? 'BROKEN' : kept === true ? 'kept  ' : '      '} ${what.padEnd(46)} ${figure.padEnd(18)} ${promise === undefined ? '' : `promised ${promise}`}`.trimEnd();
}
