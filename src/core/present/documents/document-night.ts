import { createLiveNight, type NightReading } from '../../analysis/night/analyse.ts';
import type { LiveAnalysis } from '../../analysis/live.ts';
import type { DrainOptions } from '../../analysis/options.ts';
import type { DrainResult } from '../../analysis/results.ts';
import { language } from '../language.ts';
import { sleepNearLimit } from '../../analysis/uncertainty/near-limit.ts';
import { nearLimitLines } from './near-limit-lines.ts';
import { sentence } from '../texts/sentences.ts';
import type { Words } from '../words.ts';

/** Key-off test with its sentences, fed block by block, whether it is being recorded or was: memory stays at about 10 MB however long the recording. */
export function createLiveDrain(options: DrainOptions): LiveAnalysis<DrainResult> {
  const live = createLiveNight(options);
  return { ...live, result: () => documentNight(live.result(), language) };
}

/** The public document: codes become sentences. */
function documentNight(reading: NightReading, words: Words): DrainResult {
  const { because, next, problems } = words.night;
  const nearLimits = sleepNearLimit(reading.asleep, reading.limit_a);
  return {
    ...reading,
    battery: reading.battery === null ? null : { ...reading.battery, capacity_basis: words.night.capacityBasis[reading.battery.capacity_basis] },
    near_limits: nearLimits,
    problems: reading.problems.map((problem) => ({ code: problem.code, text: sentence(problems, problem) })),
    verdict: {
      finding: reading.verdict.finding,
      because: [...reading.verdict.because.map((said) => sentence(because, said)), ...nearLimitLines(nearLimits, words.calibration)],
      next: reading.verdict.next.map((said) => sentence(next, said)),
    },
  };
}
